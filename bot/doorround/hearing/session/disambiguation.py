"""Which of several similar questions an answer is for: faces, leaves, closing tests, gaps."""

from __future__ import annotations

from collections.abc import Iterator

from doorround.dialogue.expected_input import ExpectedInput, twins
from doorround.domain.checklist import Question
from doorround.domain.door_kinds import UNNAMED_FACES
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key
from doorround.english.denials import BARE, NOTHING_ELSE
from doorround.hearing.grammar.grammar_nfa import Match

FACES = ("face=this side", "face=other side", "face=both sides")
"""Tags that are redundant where the question is about one face: "Sign, other side: missing"."""

_PARTS_TOO = ("leaf", "frame", "door", "lock", "latch", "glass", "jamb")
"""Answers to register questions that may also be the name of a part: "double leaf", "solid
door".
"""
_SAID_AS_NUMBERS = ("choice.rating", "choice.leaves")


def says_which(question: Question, match: Match) -> bool:
    """Whether the words distinguish this question from its twin: "other side", "from fifteen
    degrees", "bottom gap", "second leaf".
    """
    if question.side == "beyond" and "face=other side" in match.tags:
        return True
    leaf = question.leaf or ("first" if question.key in EACH_LEAF else None)
    return which_of(match.tags) == question.key or leaf_named(match.tags) == leaf


def which_of(tags: tuple[str, ...]) -> str | None:
    """Key of the twin question that the words name; "" if they name both, None if neither."""
    named = {tag.removeprefix("which=") for tag in tags if tag.startswith("which=")}
    return (named.pop() if len(named) == 1 else "") if named else None


def leaf_named(tags: tuple[str, ...]) -> str:
    """The leaf of a pair that the words name: "first", "second" or "both"; "" for none."""
    named = {tag.removeprefix("leaf=") for tag in tags if tag.startswith("leaf=")}
    return named.pop() if len(named) == 1 else "both" if named else ""


_PARTS_DENIED = {
    "no glass": ("glass", "mark"),
    "no latch": ("latch",),
    "no lock": ("latch", "lock"),
    "no hold open": ("hold_open",),
    "no threshold seal": ("threshold",),
    "no side panels": ("screens",),
    "no letter plate": ("letter_plate",),
    "no sign needed": ("sign",),
}


def parts_denied(tags: tuple[str, ...]) -> tuple[str, ...]:
    """The parts that the words say the door does not have; () if they name no such part."""
    denied = (tag.removeprefix("none=") for tag in tags if tag.startswith("none="))
    return next((_PARTS_DENIED[each] for each in denied if each in _PARTS_DENIED), ())


def named_parts(tags: tuple[str, ...]) -> list[tuple[str, tuple[str, ...]]]:
    """Parts in the order named, each with the tag of the leaf named with it."""
    found: list[tuple[str, tuple[str, ...]]] = []
    leaf: tuple[str, ...] = ()
    for tag in tags:
        if tag.startswith("leaf="):
            leaf = (tag,)
        elif tag.startswith("component="):
            found.append((tag.removeprefix("component="), leaf))
            leaf = ()
    return found


def of_leaf(
    questions: tuple[Question, ...], tags: tuple[str, ...], expected: ExpectedInput
) -> tuple[Question, ...]:
    """The questions for the leaf or leaves that the words name, else for the current leaf.
    Questions that belong to no leaf are kept unless a leaf was named.
    """
    named = leaf_named(tags)
    leaf = named or expected.leaf_meant
    wanted = {"first": (None,), "second": ("second",), "both": (None, "second")}[leaf]
    known = (*questions, *expected.asked, *expected.parts)
    found: dict[str, Question] = {}
    for question in questions:
        key = first_leaf_key(question.key)
        if key not in EACH_LEAF:
            found |= {} if named else {question.key: question}
            continue
        of_each = [each for each in known if first_leaf_key(each.key) == key]
        found |= {each.key: each for each in of_each if each.leaf in wanted}
    return tuple(found.values())


def first_of_each_part(expected: ExpectedInput, done: set[str | None]) -> Iterator[Question]:
    """Of questions with the same part and answers (both faces, both closing tests), the one about
    the face the caretaker is at, else the first unanswered one. Also those answered in this
    utterance, as more may be added to them.
    """
    offered: set[tuple[str, str]] = set()
    near = {
        _kind(each)
        for each in expected.asked
        if each.side == expected.face and each.key not in done
    }
    for question in expected.asked:
        kind = _kind(question)
        if question.key in done:
            yield question
        elif kind not in offered and (
            _open(question, expected) or kind not in near or question.side in (None, expected.face)
        ):
            offered.add(kind)
            yield question


def sides(
    question: Question, tags: tuple[str, ...], expected: ExpectedInput
) -> tuple[Question, ...]:
    """Questions that the words answer: both faces if they say so, or the face they name, else the
    question itself; for a pair, those of the leaf meant.

    Empty if they name a face outside the question, or mean an earlier answer: words without a face
    are about the one the caretaker is at, and with two closing tests or gaps about the one already
    answered.
    """
    asked = of_leaf(_sides(question, tags, expected), tags, expected)
    return tuple(each for each in asked if each in expected.asked)


def _sides(
    question: Question, tags: tuple[str, ...], expected: ExpectedInput
) -> tuple[Question, ...]:
    which = which_of(tags)
    if which is not None:
        return tuple(
            other
            for other in (*expected.asked, *expected.parts)
            if other.key == which and other.component == question.component
        )
    if question.side == "beyond" and first_face(expected) in tags:
        return ()  # answered already: a late fault
    if question.side is None:
        return (
            (question,)
            if _open(question, expected) or not _twin_answered(question, expected)
            else ()
        )
    faces = [
        other
        for other in expected.asked
        if other.component == question.component and other.side and other.leaf == question.leaf
    ]
    if "face=both sides" in tags:
        return tuple(sorted(faces, key=lambda face: face.side == "beyond"))
    if "face=other side" in tags and question.side == "here":
        return tuple(face for face in faces if face.side == "beyond")
    if "face=other side" in tags or _open(question, expected):
        return (question,)
    face = expected.face or ("here" if "face=this side" in tags else "")
    return (question,) if face == question.side else ()


def first_face(expected: ExpectedInput) -> str:
    """The tag of the first face by the door's own name, which stays only from beyond; "" if it has
    none.
    """
    return "" if expected.faces == UNNAMED_FACES else f"face={expected.faces[0]}"


def _kind(question: Question) -> tuple[str, str]:
    return question.component, question.says


def _open(question: Question, expected: ExpectedInput) -> bool:
    return expected.open is not None and expected.open.key == question.key


def _twin_answered(question: Question, expected: ExpectedInput) -> bool:
    asked = [each.key for each in (*expected.asked, *expected.before)]
    return any(twins(question, other) and other.key not in asked for other in expected.parts)


def goes_without_name(
    question: Question, words: tuple[str, ...], done: set[str | None], expected: ExpectedInput
) -> bool:
    """Whether these words may answer a question that is not open, because another question of its
    part was answered in the same utterance: "three, all tight". "Leaf" may mean a part, and "nine
    two six" is one number. So a number can only answer the next question, and a number of a single
    word not even that, except a rating or a number of leaves ("thirty").
    """
    lone = len(words) == 1
    if question.component != "register":
        # "releases no" contradicts itself: it is not a pass plus a "no" to the next question
        bare = lone and words[0] in (*BARE, *NOTHING_ELSE)
        return question.kind not in ("measure", "count") and not bare
    if lone and (words[0] in (*_PARTS_TOO, *NOTHING_ELSE) or question.kind in ("measure", "count")):
        return False
    numbers = question.kind in ("measure", "count") or (lone and question.says in _SAID_AS_NUMBERS)
    return not numbers or _next(question, done, expected)


def _next(question: Question, done: set[str | None], expected: ExpectedInput) -> bool:
    """Whether a register question directly follows the last one answered in this utterance."""
    of_part = [each for each in expected.asked if each.component == question.component]
    places = [place for place, each in enumerate(of_part) if each.key in done]
    return bool(places) and of_part[max(places) + 1 : max(places) + 2] == [question]


def of_one_face(question: Question, tags: tuple[str, ...]) -> bool:
    """Whether a pass covers one face only ("clear on this side") of a part with one question."""
    faces = {tag for tag in tags if tag.startswith("face=")}
    return "sound" in tags and question.side is None and bool(faces - {"face=both sides"})
