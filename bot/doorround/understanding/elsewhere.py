"""Words at a question of fact or measurement about something else: a fault of another part, or
another fact of the door. In any case the answer waits for a yes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Checklist, Question
from doorround.domain.input_result import Said
from doorround.domain.values import Choice, Condition, Defect
from doorround.english.bare_answers import is_asked, is_bare_answer
from doorround.english.number_words import BELOW_HUNDRED
from doorround.messages.answers import said_words
from doorround.understanding.choosing import choose
from doorround.understanding.clause_reader import read
from doorround.understanding.meanings import condition_of, place_of, question_about, said
from doorround.understanding.ranking import Ranker
from doorround.understanding.reading import NamedFault, Reading
from doorround.understanding.understanding_result import MAX_OFFERS, NOTHING, Offer, Understood
from doorround.understanding.word_data import FACE_ASKED, has_choices, part_words

_HAS_NOT = re.compile(r"\b(?:no|none|without)\b|n['’]t (?:got|have|any)", re.IGNORECASE)
"""Absence of a part: "no closer on it", but not "it doesn't latch"."""
_DOOR = re.compile(r"\bdoors?\b", re.IGNORECASE)
""" "The door" without a part means the leaf."""
_MANY = frozenset(BELOW_HUNDRED) - {"one"}
_IN_THE_WAY = re.compile(
    r"\b(?:wedg(?:e|ed|es|ing)|propp?(?:ed|s|ing)|in (?:the|its) way|in front of (?:it|the door)"
    r"|(?:leaning|stacked|stored|parked|piled) (?:on|up|against|by|in|behind))\b",
    re.IGNORECASE,
)
"""Words about the doorway that apply to no part of the door."""
MIN_NEAR = 0.15
"""Minimum similarity for offering a fault without its part's name as one of a part."""


def read_elsewhere(
    question: Question, text: str, expected: ExpectedInput, checklist: Checklist, ranker: Ranker
) -> Understood:
    """Interpret a text that does not answer the question as about another part or fact."""
    if is_bare_answer(text) or is_asked(text):
        return NOTHING
    parts = tuple(dict.fromkeys(_parts(expected)))
    if question.component == "mark" and "hinge" not in text.casefold():
        parts = tuple(each for each in parts if each != "hinges")  # hinges have a mark too
    readings = {component: read(component, text) for component in parts}
    facts = _other_facts(question, text, expected)
    if facts and facts[0].value == Choice(chosen="none") and _HAS_NOT.search(text):
        return _facts_as_answer(facts, checklist)
    named = _named(readings)
    faults = [_fault_answer(readings.get(name), question, text, expected) for name in named]
    answers = tuple(answer for answer in faults if answer)
    if _of_several(readings):  # all or none, so that no reported fault is lost
        return Understood("read_back", answers) if len(answers) == len(named) else NOTHING
    if answers:
        return Understood("read_back", answers[:1])
    if facts:
        return _facts_as_answer(facts, checklist)
    offers = _fault_offers(readings, question, text, expected, checklist, ranker)
    return Understood("offered", offers=offers) if offers else NOTHING


def doorway_told(question: Question, text: str, expected: ExpectedInput) -> Question | None:
    """The question about the doorway, if the open one is about something else and the words mention
    a wedge or an obstruction.
    """
    about = question_about("clear", question, expected) if _IN_THE_WAY.search(text) else None
    return None if about == question else about


def _parts(expected: ExpectedInput) -> Iterable[str]:
    """Components whose faults may be reported here."""
    known = (*expected.asked, *expected.parts, *expected.denied)
    return (
        each.component
        for each in known
        if each.kind == "condition" and each.component in part_words()
    )


def _named(readings: dict[str, Reading]) -> list[str]:
    """Components whose fault is found whatever the question is: the text names them."""
    found = [
        name for component, reading in readings.items() for name in _others(component, reading)
    ]
    return list(dict.fromkeys(found))


def _of_several(readings: dict[str, Reading]) -> bool:
    """Whether the text reports faults of more than one named part."""
    return any(len(_others(component, reading)) > 1 for component, reading in readings.items())


def _others(component: str, reading: Reading) -> list[str]:
    """Components other than its own of which a reading has a fault."""
    found = dict.fromkeys(fault.component for fault in reading.faults)
    return [each for each in found if each != component]


def _plain_faults(reading: Reading | None) -> list[NamedFault]:
    """The faults of a reading if every word is known, all faults have names, and it is not about
    repairs, absence, a scene or the talk; else [].
    """
    if reading is None or reading.unread or reading.talk or reading.mended:
        return []
    if reading.respelled or reading.absent or reading.scene:
        return []
    own = [fault for fault in reading.faults if fault.component == reading.component]
    return own if own and all(fault.name for fault in own) else []


def _fault_answer(
    reading: Reading | None, question: Question, text: str, expected: ExpectedInput
) -> Said | None:
    faults = _plain_faults(reading)
    about = question_about(faults[0].component, question, expected) if faults else None
    if about is None:
        return None
    defects = {
        fault.name: Defect(name=fault.name, where=_where(fault, about), count=fault.count)
        for fault in faults
        if fault.name
    }
    return said(about, Condition(defects=tuple(defects.values())), text, hedged=True)


def _where(fault: NamedFault, about: Question) -> str | None:
    return None if fault.where in FACE_ASKED else place_of(fault, about)


def _fault_offers(
    readings: dict[str, Reading],
    question: Question,
    text: str,
    expected: ExpectedInput,
    checklist: Checklist,
    ranker: Ranker,
) -> tuple[Offer, ...]:
    """A fault without its part's name, offered as one of the likeliest parts."""
    found: list[Offer] = []
    whole = _DOOR.search(text)
    for component, reading in readings.items():
        about = question_about(component, question, expected)
        faults = _plain_faults(reading)
        if about is None or not faults:
            continue
        near = dict(ranker.rank(component, text))
        fault = max(faults, key=lambda each: near.get(each.name or "", 0.0))
        score = near.get(fault.name or "", 0.0)
        if fault.name and score >= MIN_NEAR:
            answer = said(about, condition_of(fault.name, _where(fault, about)), text)
            score = 1.0 if whole and component == "leaf" else score
            found.append(Offer((answer,), said_words(answer, checklist), round(score, 3)))
    return tuple(sorted(found, key=lambda each: -each.score)[:MAX_OFFERS])


def _other_facts(question: Question, text: str, expected: ExpectedInput) -> list[Said]:
    """Other facts of the door that the whole text answers; empty if there are too many of them."""
    words = re.findall(r"\w+", text.casefold())
    if len(words) < 2 or any(word.isdigit() or word in _MANY for word in words):
        return []
    found: list[Said] = []
    for each in expected.others:
        if each.component != "register" or each.key == question.key or not has_choices(each.says):
            continue
        chosen = choose(each.says, text)
        if chosen.sure and each.kind == "choice" and chosen.values[0] != "unknown":
            found.append(said(each, Choice(chosen=chosen.values[0]), text, hedged=True))
    return found if len(found) <= MAX_OFFERS else []


def _facts_as_answer(facts: list[Said], checklist: Checklist) -> Understood:
    """Read one fact back; offer a choice of several."""
    if len(facts) == 1:
        return Understood("read_back", tuple(facts))
    offers = tuple(Offer((each,), said_words(each, checklist), 1.0) for each in facts)
    return Understood("offered", offers=offers)


def either(named: list[Offer], elsewhere: Understood, checklist: Checklist) -> Understood:
    """Offer both the question's own value and the absence of another part: "no closer on it that I
    can see". The question's own values come before another fact.
    """
    none, value = Choice(chosen="none"), elsewhere.meanings[0].value
    absent = value == none or (
        isinstance(value, Condition) and {each.name for each in value.defects} == {"missing"}
    )
    alone = absent and len(elsewhere.meanings) == 1
    own = named and named[0].meaning[0].value == none
    several = len(named) > 1 and isinstance(value, Choice)
    if not (named and (alone or own or several)):
        return elsewhere
    words = said_words(elsewhere.meanings[0], checklist)
    other = Offer(elsewhere.meanings, words, 1.0)
    return Understood("offered", offers=(*named[: MAX_OFFERS - 1], other))
