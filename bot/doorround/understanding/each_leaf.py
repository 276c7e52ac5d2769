"""Messages about the leaves of a pair: "first leaf is okay, second leaf has a split"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key

_LEAF = re.compile(
    r"(?:\b(?:and|but|while)\s+)?(?:\bon\s+)?(?:\bthe\s+)?\b(first|second)\s+(?=leaf\b)",
    re.IGNORECASE,
)
_ONE = re.compile(r"\b(first|second)\s+(?:one|door)\b(?=\s+\w|['’]s\s)", re.IGNORECASE)
"""For parts of which each leaf has one, "the second one slams" is about the second leaf."""
_ONE_EACH = ("leaf", "closer", "latch")
_BEFORE = re.compile(r"\W*(?:(?:no|yes|okay|ok|right|well|so|sorry|and|but)\W*)*", re.IGNORECASE)


@dataclass(frozen=True)
class LeafClause:
    """Text about one leaf. leaf: "first" or "second"; question: the one it belongs to."""

    leaf: str
    question: Question
    text: str


def clauses_by_leaf(text: str, question: Question, expected: ExpectedInput) -> list[LeafClause]:
    """Clauses of a text that begin with the name of a leaf; [] if there are none, the door is no
    pair, or other words come before the first.
    """
    if question.component in _ONE_EACH:
        text = _ONE.sub(r"\1 leaf", text)
    starts = list(_LEAF.finditer(text))
    if not starts or not _BEFORE.fullmatch(text[: starts[0].start()]):
        return []
    ends = [each.start() for each in starts[1:]] + [len(text)]
    found: list[LeafClause] = []
    for start, end in zip(starts, ends, strict=True):
        leaf = start[1].lower()
        about = _question_of(leaf, question, expected)
        if about is None:
            return []
        found.append(LeafClause(leaf, about, text[start.end() : end].strip(" ,;.")))
    return found


def _question_of(leaf: str, question: Question, expected: ExpectedInput) -> Question | None:
    """This leaf's version of the open question, if there is one for each leaf; else the question
    about this leaf's condition.
    """
    known = {each.key: each for each in (*expected.asked, *expected.parts)}
    if not any(each.leaf for each in known.values()):
        return None
    first = first_leaf_key(question.key)
    if first not in EACH_LEAF:
        first = f"leaf.{question.side or expected.face or 'here'}"
    return known.get(first if leaf == "first" else f"{first}_second")
