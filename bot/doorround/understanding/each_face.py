"""Messages about both faces of a part: "other side is split, this side is fine"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.understanding.clause_reader import read
from doorround.understanding.faces_told import faces_meant, faces_named

_BETWEEN = re.compile(
    r"\s*[,;.]+\s*(?:(?:and|but|while)\s+)?|\s+(?:and|but|while|whereas)\s+", re.I
)
_UNNAMED = r"(?:this|my|near|other|far) side(?: of (?:it|the door|the leaf))?"


@dataclass(frozen=True)
class FaceClause:
    """Text about one face. question: the one it belongs to."""

    question: Question
    text: str


def clauses_by_face(text: str, question: Question, expected: ExpectedInput) -> list[FaceClause]:
    """Clauses of a text about both faces; [] if it is about one only or cannot be split. From the
    far side of the door, "this side" may be either face.
    """
    unnamed = not faces_named(text, expected.faces) or expected.faces == UNNAMED_FACES
    if question.side is None or (expected.faces == UNNAMED_FACES and question.side == "beyond"):
        return []
    told = _told_by_face(text, expected.faces, question)
    known = (*expected.asked, *expected.parts)
    same = [e for e in known if (e.component, e.leaf) == (question.component, question.leaf)]
    at: dict[str, Question] = {e.side: e for e in same if e.side and e.kind == question.kind}
    if len(told) < 2 or not all(face in at for face in told):
        return []
    names = _UNNAMED if unnamed else "|".join(expected.faces)
    named = re.compile(
        rf"\b(?:on\s+)?(?:the\s+)?(?:{names})\b(?:(?:\s+is\b|['’]s\b)(?=\s))?", re.IGNORECASE
    )
    return [FaceClause(at[face], named.sub("", words).strip(" ,")) for face, words in told.items()]


def _told_by_face(text: str, faces: tuple[str, str], question: Question) -> dict[str, str]:
    """Text about each face, "here" and "beyond", including adjacent clauses that name none; what is
    told before another face is named belongs to the one asked about: "dented, and the other side is
    split". {} if a face is named twice, or both in one clause.
    """
    told: dict[str, str] = {}
    before: list[str] = []
    for piece in filter(None, _BETWEEN.split(text.strip(" .!"))):
        named = faces_meant(piece, str(question.side), faces)
        if len(named) > 1 or (named and named[0] in told):
            return {}
        if named:
            own = question.side and named[0] != question.side and not told
            if own and _tells(question, ", ".join(before)) and _tells(question, piece):
                told[str(question.side)] = ", ".join(before)
                before = []
            told[named[0]] = ", ".join((*before, piece))
            before = []
        elif told:
            last = next(reversed(told))
            told[last] += f", {piece}"
        else:
            before.append(piece)
    return told


def _tells(question: Question, text: str) -> bool:
    """Whether a text says something of the part, not just where."""
    found = read(question.component, text)
    return bool(found.faults or found.sound or found.denied)
