"""Meanings as answers, and their wording for the caretaker."""

from __future__ import annotations

from collections.abc import Iterable

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Checklist, Question
from doorround.domain.input_result import Said
from doorround.domain.values import CannotCheck, Condition, Defect, Value
from doorround.messages.answers import said_words
from doorround.understanding.ranking import CANNOT, SOUND
from doorround.understanding.reading import NamedFault
from doorround.understanding.understanding_result import MAX_OFFERS, Offer, passes
from doorround.understanding.word_data import FACE_ASKED, FACE_BEYOND


def said(question: Question, value: Value, text: str, **more: bool) -> Said:
    """One answer in the caretaker's own words."""
    return Said(question=question.key, value=value, phrase=text, verbatim=text, **more)


ONE_OF_A_LEAF = ("closer", "coordinator", "hold_open")
"""Parts of which a leaf has one, and whose faults are of what it does."""


def condition_of(name: str, where: str | None = None, made_good: bool = False) -> Condition:
    """A fault as the answer to a question. where: its place, None if not given."""
    return Condition(defects=(Defect(name=name, where=where, made_good=made_good),))


def place_of(fault: NamedFault, question: Question) -> str | None:
    """Place of a fault. At a question about one face, that face's name is not a place; what
    happens to a door let go of has none ("two inch gap left").
    """
    faces = {"here": FACE_ASKED, "beyond": FACE_BEYOND}
    if question.component in ONE_OF_A_LEAF:
        return None
    return None if fault.where in faces.get(question.side or "", ()) else fault.where


def count_of(fault: NamedFault, question: Question) -> int | None:
    """Number of a fault; "two finger gap" at a closer is no number of closers."""
    return None if question.component in ONE_OF_A_LEAF else fault.count


def condition_with(faults: list[NamedFault], question: Question) -> Condition:
    """The named faults as the answer to a question."""
    found = {
        fault.name: Defect(
            name=fault.name, where=place_of(fault, question), count=count_of(fault, question)
        )
        for fault in faults
        if fault.name
    }
    return Condition(defects=tuple(found.values()))


def value_of_meaning(name: str, where: str | None = None) -> Value:
    """Value for a meaning from the ranker: "sound", "cannot", or the name of a fault."""
    if name == SOUND:
        return Condition()
    return CannotCheck() if name == CANNOT else condition_of(name, where)


def put_right_on_the_spot(component: str, checklist: Checklist) -> list[str]:
    """The faults of a part that a caretaker may put right while checking it."""
    return [each.name for each in checklist.defect if each.component == component and each.mended]


def offers_of(
    question: Question, values: Iterable[tuple[Value, float]], text: str, checklist: Checklist
) -> tuple[Offer, ...]:
    """The first different values as offers, at most three; passes come last."""
    found: dict[str, Offer] = {}
    for value, score in values:
        answer = said(question, value, text)
        key = value.model_dump_json()
        if key not in found and len(found) < MAX_OFFERS:
            found[key] = Offer((answer,), said_words(answer, checklist), round(score, 3))
    return tuple(sorted(found.values(), key=_passes))


def _passes(offer: Offer) -> bool:
    return passes(offer.meaning[0])


def question_about(component: str, question: Question, expected: ExpectedInput) -> Question | None:
    """The question that a statement about a component belongs to: the open one, else the first
    unanswered one about the caretaker's side, else any."""
    if component == question.component:
        return question
    face = question.side or expected.face
    known = [
        each
        for each in (*expected.asked, *expected.parts, *expected.denied)
        if each.component == component and each.kind == "condition" and each.side in (None, face)
    ]
    # of a pair, the current leaf; a part of the whole pair has only one question
    leaf = {"first": None, "second": "second"}.get(expected.leaf, "")
    same = [each for each in known if each.leaf == leaf]
    return next(iter(same or known), None)
