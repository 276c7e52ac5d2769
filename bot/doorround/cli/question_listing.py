"""The questions of a checklist, described for people and programs."""

from __future__ import annotations

from typing import Any

from doorround.domain.checklist import Checklist, Question
from doorround.hearing.grammar.grammar_set import GrammarBook

MOST_EXAMPLES = 12


def described(checklist: Checklist, book: GrammarBook) -> list[dict[str, Any]]:
    """Each question: key, component, kind, ask, terse, help, examples (phrases its grammar takes), when, fills."""
    return [_described(question, book) for question in checklist.question]


def _described(question: Question, book: GrammarBook) -> dict[str, Any]:
    examples = dict.fromkeys([*question.taps, *book.usual(question.says)])
    return {
        "key": question.key,
        "component": question.component,
        "kind": question.kind,
        "ask": question.ask,
        "terse": question.terse,
        "help": question.help,
        "examples": list(examples)[:MOST_EXAMPLES],
        "when": {name: list(value) if isinstance(value, tuple) else value for name, value in question.when.items()},
        "fills": question.fills,
    }
