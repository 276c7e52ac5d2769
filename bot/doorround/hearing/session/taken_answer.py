"""Accepting a grammar match as the answer to its questions."""

from __future__ import annotations

from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Value
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.negation import (
    scope_of,
)
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.lexicon.tokeniser import Readings
from doorround.hearing.session.disambiguation import (
    FACES,
    of_one_face,
)
from doorround.hearing.session.original_spelling import words_of
from doorround.hearing.session.parse_path import ParsePath


def with_answer(
    tokens: Readings,
    path: ParsePath,
    question: Question,
    match: Match,
    targets: tuple[Question, ...],
) -> ParsePath:
    """Extend the path by a match that answers these questions."""
    words = words_of(tokens, path.place, match.end)
    # Its face is redundant where the question is about one: "Sign, other side: missing".
    tags = tuple(tag for tag in match.tags if not (question.side and tag in FACES))
    value = value_of(tags, question.unit)
    hedged = path.hedged or "hedge" in match.tags
    partial = "partial" in match.tags or of_one_face(question, tags)
    said = tuple(
        Said(
            question=target.key,
            value=as_value(value),
            phrase=" ".join(words),
            hedged=hedged or partial,
            partial=partial and not hedged,
        )
        for target in targets
    )
    reach = scope_of(words, "sound" in match.tags, "partial" in match.tags)
    ends = path.ends + len(said) * (match.end,)
    repairs = path.repairs + match.repairs
    return ParsePath(
        match.end,
        path.said + said,
        ends,
        question.component,
        False,
        repairs,
        path.fillers,
        reach=reach,
    )


def as_value(value: Value | Command) -> Value:
    """The value of an answer. Raises ValueError for a command."""
    if isinstance(value, Command):
        raise ValueError("a command stands where an answer should")
    return value
