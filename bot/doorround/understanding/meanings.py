"""Meanings as answers of the talk, and how to name them to the caretaker."""

from __future__ import annotations

import re
from collections.abc import Iterable

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Checklist, Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.input_result import Said
from doorround.domain.values import CannotCheck, Condition, Defect, Value
from doorround.messages.answers import said_words
from doorround.understanding.ranking import CANNOT, SOUND
from doorround.understanding.understanding_result import MAX_OFFERS, Offer, passes


def said(question: Question, value: Value, text: str, **more: bool) -> Said:
    """One answer in the caretaker's own words."""
    return Said(question=question.key, value=value, phrase=text, verbatim=text, **more)


def condition_of(name: str, where: str | None = None, made_good: bool = False) -> Condition:
    """A fault by its name, where it is (None: not told), as the answer to a question."""
    return Condition(defects=(Defect(name=name, where=where, made_good=made_good),))


def value_of_meaning(name: str, where: str | None = None) -> Value:
    """A meaning of a condition as the ranking has it: "sound", "cannot", or a fault."""
    if name == SOUND:
        return Condition()
    return CannotCheck() if name == CANNOT else condition_of(name, where)


def offers_of(
    question: Question, values: Iterable[tuple[Value, float]], text: str, checklist: Checklist
) -> tuple[Offer, ...]:
    """The first different values as offers, at most three; what passes stands last."""
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
    """The question to which something told of a component belongs: the one that is open, else the
    first that is not answered, on the face that one stands before; else any."""
    if component == question.component:
        return question
    face = question.side or expected.face
    known = [
        each
        for each in (*expected.asked, *expected.parts, *expected.denied)
        if each.component == component and each.kind == "condition"
    ]
    return next((each for each in known if each.side in (None, face)), None)


def question_at_named_face(
    question: Question, text: str, expected: ExpectedInput
) -> Question | None:
    """The question about the same part on the face that a text names, where the open one is about
    the other face; None where no face is named, both are, or it is that of the open question.
    """
    if question.side is None or expected.faces == UNNAMED_FACES:
        return None
    sides = zip(("here", "beyond"), expected.faces, strict=True)
    named = [side for side, name in sides if re.search(rf"\b{name}\b", text, re.IGNORECASE)]
    if len(named) != 1 or named[0] == question.side:
        return None
    known = (*expected.asked, *expected.parts)
    same = (question.component, question.leaf, named[0])
    return next((each for each in known if (each.component, each.leaf, each.side) == same), None)
