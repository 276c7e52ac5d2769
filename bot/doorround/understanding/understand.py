"""The second interpreter: answers from words outside the grammar.

Nothing passes by similarity: a pass is at most read back, and entered after a yes.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Checklist, Question
from doorround.domain.input_result import Said
from doorround.domain.values import CannotCheck, Condition, DoesNotApply, Value
from doorround.english.numbered_leaves import with_named_leaf
from doorround.understanding.answers import understand_value, with_one_value
from doorround.understanding.clause_reader import read
from doorround.understanding.each_face import clauses_by_face
from doorround.understanding.each_leaf import LeafClause, clauses_by_leaf
from doorround.understanding.elsewhere import doorway_told, either, read_elsewhere
from doorround.understanding.faces_told import at_named_face, face_unsettled
from doorround.understanding.found_unlocked import read_unlocked
from doorround.understanding.meanings import (
    condition_of,
    condition_with,
    offers_of,
    place_of,
    put_right_on_the_spot,
    question_about,
    said,
    value_of_meaning,
)
from doorround.understanding.ranking import CANNOT, SOUND, Ranker, TfidfRanker, nearer_to_another
from doorround.understanding.reading import NamedFault, needs_a_yes
from doorround.understanding.understanding_result import (
    MAX_OFFERS,
    NOTHING,
    Offer,
    Understood,
    not_entered,
    passes,
    together,
)
from doorround.understanding.word_data import antonym, fault_name, part_words

LEAST_NEAR = 0.12
"""Minimum similarity of a text to anything about a part; "asdf" and "half past two" have less."""
LEAST_NEAR_UNREAD = 0.22
"""The same if none of its words is known."""


class Understanding:
    """Interprets text at the questions of one checklist. Stateless. ranker: orders the offers."""

    def __init__(self, checklist: Checklist, ranker: Ranker | None = None) -> None:
        self.checklist, self.ranker = checklist, ranker or TfidfRanker()

    def understand(
        self, question: Question | None, text: str, expected: ExpectedInput
    ) -> Understood:
        """Interpret a text now. question: the open one; None if there is none."""
        if question is None or not text.strip():
            return NOTHING
        text = with_named_leaf(text)
        if (unlocked := read_unlocked(question, text, expected)) is not None:
            return unlocked
        at = at_named_face(question, text, expected)
        if question.kind != "condition" or question.component not in part_words():
            return self._value(question, at.text, at.expected)
        if clauses := clauses_by_leaf(at.text, at.question, expected):
            return self._of_leaves(clauses, question, text, expected)
        if found := self._of_faces(question, text, expected):
            return found
        there = _Condition(self, at.question, at.text, at.expected).outcome()
        found = face_unsettled(there, question, text)
        if at.question is not question:
            return not_entered(found)
        about = None if found.meanings else doorway_told(question, text, expected)
        there = _Condition(self, about, text, expected).outcome() if about else found
        faults = there.meanings and not any(map(passes, there.meanings))
        return not_entered(there) if about and faults else found

    def _of_leaves(
        self, clauses: list[LeafClause], question: Question, text: str, expected: ExpectedInput
    ) -> Understood:
        """Statements about each leaf of a pair, each for its own question; all of them or none."""
        found = [
            _Condition(self, each.question, each.text, replace(expected, leaf=each.leaf)).outcome()
            for each in clauses
        ]
        if len(found) == 1:
            here = clauses[0].question == question
            return found[0] if here else not_entered(found[0])
        return together(found, text) or NOTHING

    def _of_faces(
        self, question: Question, text: str, expected: ExpectedInput
    ) -> Understood | None:
        """Statements about each face, each for its own question; None unless all are clear."""
        clauses = clauses_by_face(text, question, expected)
        found = [_Condition(self, each.question, each.text, expected).outcome() for each in clauses]
        return together(found, text) if found else None

    def _value(self, question: Question, text: str, expected: ExpectedInput) -> Understood:
        """At a question of fact or measurement: its value, else what is said about other things."""
        found = understand_value(question, text, self.checklist, self.ranker)
        if found.kind in ("entered", "read_back"):
            return found
        elsewhere = read_elsewhere(question, text, expected, self.checklist, self.ranker)
        if elsewhere.kind == "nothing":
            return with_one_value(question, text, found)
        named = [each for each in found.offers if each.score == 1.0]
        if elsewhere.kind != "offered":
            return either(named, elsewhere, self.checklist)
        near = [each for each in found.offers if each.score < 1.0]
        return replace(elsewhere, offers=(*named, *elsewhere.offers, *near)[:MAX_OFFERS])


class _Condition:
    """One text at one question about a part's condition."""

    def __init__(
        self, whole: Understanding, question: Question, text: str, expected: ExpectedInput
    ) -> None:
        self.whole, self.question, self.text, self.expected = whole, question, text, expected
        side = question.side if question == expected.open else None
        self.reading = read(question.component, text, side)

    def outcome(self) -> Understood:
        doubtful = self.reading.doubt or self.reading.cannot is not None
        return replace(self._outcome(), doubtful=doubtful)

    def _outcome(self) -> Understood:
        found = self.reading
        if found.talk and not (found.faults or found.sound or found.denied):
            unsure = [(CannotCheck(), 0.5)] if found.hedged else []
            offers = offers_of(self.question, unsure, self.text, self.whole.checklist)
            return Understood("offered", offers=offers) if offers else NOTHING
        if found.mended:
            return self._mended()
        here = any(fault.component == self.question.component for fault in found.faults)
        if found.faults and (here or found.cannot is None):
            return self._faults()
        if found.cannot is not None:
            return self._cannot(found.cannot)
        if found.absent and not (found.sound or found.unread):
            due = "{sign}" in self.question.ask  # the register asks for a sign
            value = condition_of("missing") if due else DoesNotApply()
            answer = said(self.question, value, self.text)
            return self._read_back((answer,))
        if found.only_sound and not (found.unread or found.scene):
            return self._sound()
        return self._offered()

    def _faults(self) -> Understood:
        found = self.reading
        named = {fault.component for fault in found.faults if fault.name}
        unnamed = [each for each in found.faults if not each.name and each.component not in named]
        partly = bool(found.unread) and not self._one_fault_ahead()
        if unnamed or partly or found.minor:
            return self._offered()
        answers = self._fault_answers()
        if answers is None:
            return self._offered()
        names = {fault.name for fault in found.faults}
        kept = needs_a_yes(found, names, self.text) or nearer_to_another(self._ranked(), names)
        if kept or {answer.question for answer in answers} != {self.question.key}:
            return self._read_back(answers)
        return Understood("entered", answers)

    def _ranked(self) -> list[tuple[str, float]]:
        return self.whole.ranker.rank(self.question.component, self.text)

    def _one_fault_ahead(self) -> bool:
        """Whether the known words report exactly one fault, of the part in question."""
        faults = {(each.component, each.name) for each in self.reading.faults}
        return len(faults) == 1 and faults.pop()[0] == self.question.component

    def _fault_answers(self) -> tuple[Said, ...] | None:
        """The faults, each for its question; None if one has no question at this door."""
        found: dict[str, tuple[Question, list[NamedFault]]] = {}
        for fault in filter(lambda each: each.name, self.reading.faults):
            question = question_about(fault.component, self.question, self.expected)
            if question is None:
                return None
            found.setdefault(question.key, (question, []))[1].append(fault)
        return tuple(
            said(question, condition_with(faults, question), self.text)
            for question, faults in found.values()
        )

    def _mended(self) -> Understood:
        """ "Tightened them up just now": read back a fault that was put right on the spot."""
        known = put_right_on_the_spot(self.question.component, self.whole.checklist)
        told = {fault.name for fault in self.reading.faults}
        named = [name for name in known if name in told]
        if told and not named:  # "oiled it, still stuck"
            return not_entered(self._faults())
        usual = [name for name in part_words()[self.question.component].usual if name in known]
        names = named or (usual if len(usual) == 1 and not self.reading.doubt else [])
        if not names:
            return self._offered()
        answer = said(self.question, condition_of(names[0], made_good=True), self.text, hedged=True)
        return self._read_back((answer,))

    def _cannot(self, reason: str) -> Understood:
        found = self.reading
        answer = said(self.question, CannotCheck(reason=reason or None), self.text)
        if found.faults:  # of another part: "can't try it, the glass is cracked"
            return self._read_back((answer, *(self._fault_answers() or ())))
        told = found.sound or found.denied or found.scene
        if told or found.unread or found.doubt or found.in_places:
            return self._read_back((answer,))
        return Understood("entered", (answer,))

    def _sound(self) -> Understood:
        found = self.reading
        partial = not found.sound
        answers: dict[str, Said] = {}
        for component in dict.fromkeys((*found.sound, *found.denied)):
            question = question_about(component, self.question, self.expected)
            if question is None:
                return self._offered()
            answer = said(question, Condition(), self.text, hedged=True, partial=partial)
            answers[question.key] = answer
        return self._read_back(tuple(answers.values()))

    def _read_back(self, answers: tuple[Said, ...]) -> Understood:
        """Read these answers back, and offer other possible meanings as well."""
        values = [answer.value for answer in answers]
        others = tuple(each for each in self._offers() if each.meaning[0].value not in values)
        return Understood("read_back", answers, others)

    def _offered(self) -> Understood:
        offers = self._offers()
        if not offers and self.reading.statement:
            usual = [condition_of(name) for name in part_words()[self.question.component].usual]
            values: list[tuple[Value, float]] = [(each, 0.0) for each in (*usual[:2], Condition())]
            offers = offers_of(self.question, values, self.text, self.whole.checklist)
        return Understood("offered", offers=offers) if offers else NOTHING

    def _offers(self) -> tuple[Offer, ...]:
        """The likeliest meanings; without a fault, "sound" is among them, as most answers are."""
        found, checklist = self.reading, self.whole.checklist
        offers = offers_of(self.question, self._likely(), self.text, checklist)
        good_too = not found.contrast and (found.sound or found.denied)
        told = found.minor or (found.faults and not good_too)
        open_ = not (told or self._doubtful())
        if not offers or not open_ or any(passes(each.meaning[0]) for each in offers):
            return offers
        sound = offers_of(self.question, [(Condition(), 0.0)], self.text, checklist)
        return (*offers[: MAX_OFFERS - 1], *sound)

    def _likely(self) -> Iterator[tuple[Value, float]]:
        """Meanings to offer, likeliest first."""
        found, component = self.reading, self.question.component
        wheres = (place_of(fault, self.question) for fault in found.faults if fault.where)
        where = next(wheres, None)
        barred = self._denied_or_doubtful()
        yield from self._read(barred)
        if barred:
            for good in found.goods:
                if name := fault_name(component, antonym(good)):
                    yield condition_of(name, where), 0.8
        if found.finish and not found.faults and fault_name(component, "damage") == "damaged":
            return
        read_some = found.faults or found.goods or found.denied or found.doubt
        least = LEAST_NEAR if read_some else LEAST_NEAR_UNREAD
        likely = [(name, near) for name, near in self._ranked() if near >= least]
        for name, near in likely:
            if name != SOUND or not (barred or found.faults):
                yield value_of_meaning(name, where if name not in (SOUND, CANNOT) else None), near
        if likely or found.faults or found.doubt:
            for name in part_words()[component].usual:
                yield condition_of(name, where), 0.0

    def _read(self, barred: bool) -> Iterator[tuple[Value, float]]:
        """Meanings from known words that are not certain enough for a read-back."""
        found, damaged = self.reading, fault_name(self.question.component, "damage")
        if found.finish and damaged == "damaged":
            yield condition_of(damaged), 1.0
        for fault in found.faults:
            if fault.name and fault.component == self.question.component:
                yield condition_with([fault], self.question), 1.0
                if other := part_words()[fault.component].elliptic.get(fault.sense):
                    yield condition_of(other, fault.where), 0.9
        named = [fault for fault in found.faults if fault.name]
        all_sound = (found.sound or found.denied) and (not named or not found.contrast)
        if found.minor or found.nothing or (all_sound and not barred):
            yield Condition(), 0.9

    def _denied_or_doubtful(self) -> bool:
        return self.reading.dangling or self.reading.in_places or self._doubtful()

    def _doubtful(self) -> bool:
        """Whether there is too much doubt even to offer "sound"."""
        found = self.reading
        dangling = found.dangling and not found.goods
        return found.doubt or dangling or found.mended or found.cannot is not None
