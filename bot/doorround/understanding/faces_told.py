"""The face of the door that a text names: "room side", or from this side "the other side"."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.hearing.session.face_names import with_plain_faces
from doorround.understanding.understanding_result import Understood

_UNNAMED = {
    "here": r"\b(?:this|my|near) side\b",
    "beyond": (
        r"(?<!through to )(?<!through to the )\b(?:other|far) side\b"
        r"(?! of(?! (?:it|the door|the leaf)\b))"
    ),
}
"""Faces without names of their own. A crack "through to the other side" is in both, one "on the
other side of the handle" in neither."""
_ANY_FACE = re.compile(r"\b(?:this|my|near|other|far) side\b", re.IGNORECASE)


def faces_named(text: str, faces: tuple[str, str]) -> list[str]:
    """The faces that a text names, "here" and "beyond"."""
    named = dict(zip(("here", "beyond"), (rf"\b{name}\b" for name in faces), strict=True))
    patterns = _UNNAMED if faces == UNNAMED_FACES else named
    return [side for side, each in patterns.items() if re.search(each, text, re.IGNORECASE)]


@dataclass(frozen=True)
class AtFace:
    """A text without the face's name, the question that it is about, and what else may be meant."""

    question: Question
    text: str
    expected: ExpectedInput


def at_named_face(question: Question, text: str, expected: ExpectedInput) -> AtFace:
    """The question about the same part on the only face that the text names; for a part without a
    question for each face, other parts are then those of that face.
    """
    face = _only_face(text, question.side or expected.face, expected.faces)
    alone = _without_face(text, expected.faces, question.side) if face else text
    if not face or face == question.side:
        return AtFace(question, alone, expected)
    known = (*expected.asked, *expected.parts)
    same = (question.component, question.leaf, face)
    twins = (each for each in known if (each.component, each.leaf, each.side) == same)
    about = next(twins, None) if question.side else question
    return AtFace(about or question, alone, replace(expected, face=face))


def faces_meant(text: str, where: str, faces: tuple[str, str]) -> list[str]:
    """The faces that a text names, by the door's own names or as "this side" and "other side".
    where: the face before the caretaker; from beyond, of a door whose faces have no names, these
    may be either.
    """
    if named := faces_named(text, faces) if faces != UNNAMED_FACES else []:
        return named
    if faces == UNNAMED_FACES and where != "here":
        return []
    found = faces_named(text, UNNAMED_FACES)
    other = {"here": "beyond", "beyond": "here"}
    return [other[face] for face in found] if where == "beyond" else found


def _only_face(text: str, where: str, faces: tuple[str, str]) -> str:
    """The only face named; "" if none is, or both."""
    named = faces_meant(text, where, faces)
    return named[0] if len(named) == 1 else ""


def _without_face(text: str, faces: tuple[str, str], side: str | None) -> str:
    """The text without the door's own name of a face, which is no place on a part that has a
    question for each: "corridor side leaf dented". Of seals it is one: "this side" or "other side".
    """
    if side is None:
        return with_plain_faces(text, faces)
    if faces == UNNAMED_FACES:
        return text
    names = "|".join((*map(re.escape, faces), "(?:this|my|near|other|far) side"))
    about = rf"\s*\b(?:(?:on|at|of|from) )?(?:the )?(?:{names})\b(?:['’]s\b| (?:is|has)\b(?= ))?"
    left = re.sub(about, " ", text, flags=re.IGNORECASE)
    return re.sub(r"\s+(?=[,.;])", "", left).strip(" ,;") or text


def face_unsettled(found: Understood, question: Question, text: str) -> Understood:
    """The result at a question about one face, to be read back if the text says "this side" or
    "other side" from beyond: either may be meant.
    """
    unsettled = question.side == "beyond" and _ANY_FACE.search(text)
    return replace(found, kind="read_back") if unsettled and found.kind == "entered" else found
