"""Statements about a part that has been answered: a fault seen later or remembered, a fault put
right, or the same answer again.

A fault must name its part and is added to the earlier answer; it may also be of a part that the
register says the door lacks. Anything else changes nothing: "change" and the part's name withdraws
a fault.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from doorround.dialogue.expected_input import ExpectedInput, twins
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.two_leaves import first_leaf_key
from doorround.domain.values import Command, Condition, Value
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import Utterances, made_good, named, naming
from doorround.hearing.lexicon.tokeniser import Readings
from doorround.hearing.session.disambiguation import (
    FACES,
    first_face,
    leaf_named,
    of_leaf,
    which_of,
)


def late_faults(
    tokens: Readings, expected: ExpectedInput, utterances: Utterances
) -> tuple[tuple[Said, ...], int] | None:
    """The statements and the number of letters repaired; None if the words are no such statement. A
    fault is hedged, and so read back, if it is unclear which of two faces is meant.
    """
    if mended := made_good_since(tokens, expected.mendable, utterances):
        return mended
    for start, hedged in _starts(tokens, utterances).items():
        for question in (*expected.open_to_faults, *expected.denied):
            for match in _matches(tokens, start, question, utterances):
                if question in expected.denied and not _is_fault(match, question):
                    continue
                if targets := _targets(question, match.tags, expected):
                    doubt = (
                        hedged
                        or "hedge" in match.tags
                        or not _clear(question, match.tags, expected)
                    )
                    return (
                        tuple(
                            _added(each, match, tokens[start:], doubt, first_face(expected))
                            for each in targets
                        ),
                        match.repairs,
                    )
    return None


def _is_fault(match: Match, question: Question) -> bool:
    value = value_of(match.tags, question.unit)
    return isinstance(value, Condition) and not value.sound


def made_good_since(
    tokens: Readings, mendable: Iterable[Question], utterances: Utterances
) -> tuple[tuple[Said, ...], int] | None:
    """The statement that an open fault was put right, and the number of letters repaired; None if
    the words do not say so.
    """
    mendable = tuple(mendable)
    for start, hedged in _starts(tokens, utterances).items() if mendable else ():
        for question in mendable:
            for match in utterances.nfa(made_good(question)).matches(tokens, start):
                if match.end == len(tokens):
                    doubt = hedged or "hedge" in match.tags
                    return (_added(question, match, tokens, doubt),), match.repairs
    return None


def _starts(tokens: Readings, utterances: Utterances) -> dict[int, bool]:
    """Possible starts, after any filler words → whether one of those was a hedge."""
    found = {0: False}
    waiting = [0]
    while waiting:
        start = waiting.pop()
        for rule in ("filler.hedge", "filler.noise"):
            for match in utterances.grammar_set.nfa(rule).matches(tokens, start):
                if match.end not in found:
                    found[match.end] = found[start] or rule == "filler.hedge"
                    waiting.append(match.end)
    return found


def _matches(
    tokens: Readings, start: int, question: Question, utterances: Utterances
) -> Iterator[Match]:
    """The whole rest as an answer that names its part."""
    names_itself = utterances.grammar_set.names_itself(question.says)
    for body in (named(question), *([naming(question)] if names_itself else [])):
        for match in utterances.nfa(body).matches(tokens, start):
            if match.end == len(tokens) and not isinstance(
                value_of(match.tags, question.unit), Command
            ):
                yield match


def _targets(
    question: Question, tags: tuple[str, ...], expected: ExpectedInput
) -> tuple[Question, ...]:
    """The question itself, or both faces; empty if the words cannot mean it."""
    if question not in of_leaf((question,), tags, expected):
        return ()
    which = which_of(tags)
    if which is not None:
        return (question,) if which == first_leaf_key(question.key) else ()
    if question.side is None:
        return (question,)
    if "face=both sides" in tags:
        return tuple(
            each
            for each in reversed(expected.open_to_faults)
            if each == question or (twins(each, question) and each.leaf == question.leaf)
        )
    if first_face(expected) in tags:
        return (question,) if question.side == "here" else ()
    face = "beyond" if "face=other side" in tags else expected.face
    face = face or ("here" if "face=this side" in tags else "")
    return (question,) if face in ("", question.side) else ()


def _clear(question: Question, tags: tuple[str, ...], expected: ExpectedInput) -> bool:
    """Whether it is clear which of two faces, leaves or closing tests is meant."""
    others = (*expected.parts, *expected.denied)
    keys = [first_leaf_key(each.key) for each in others]
    if keys.count(first_leaf_key(question.key)) > 1 and not leaf_named(tags):
        return False
    if not any(twins(question, other) for other in others) or which_of(tags):
        return True
    return question.side is not None and (
        bool(expected.face) or any(face in tags for face in (*FACES, first_face(expected)))
    )


def _added(
    question: Question, match: Match, tokens: Readings, hedged: bool, first: str = ""
) -> Said:
    faces = (*FACES, first) if question.side else ()
    value: Value | Command = value_of(
        tuple(tag for tag in match.tags if tag not in faces), question.unit
    )
    fault = isinstance(value, Condition) and not value.sound
    words = " ".join(token[0][0] for token in tokens)
    return Said(
        question=question.key, value=value, phrase=words, added=True, hedged=hedged and fault
    )
