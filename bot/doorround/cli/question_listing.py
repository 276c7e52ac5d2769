"""The questions of a checklist, described for people and programs."""

from __future__ import annotations

from typing import Any

from doorround.domain.checklist import Checklist, Question
from doorround.hearing.grammar.grammar_set import GrammarSet

MAX_EXAMPLES = 12


def question_listing(checklist: Checklist, grammar_set: GrammarSet) -> list[dict[str, Any]]:
    """Each question: key, component, kind, ask, terse, help, examples (phrases that its grammar
    accepts), when, fills.
    """
    return [_described(question, grammar_set) for question in checklist.question]


def _described(question: Question, grammar_set: GrammarSet) -> dict[str, Any]:
    examples = dict.fromkeys([*question.taps, *grammar_set.usual(question.says)])
    return {
        "key": question.key,
        "component": question.component,
        "kind": question.kind,
        "ask": question.ask,
        "terse": question.terse,
        "help": question.help,
        "examples": list(examples)[:MAX_EXAMPLES],
        "when": {
            name: list(value) if isinstance(value, tuple) else value
            for name, value in question.when.items()
        },
        "fills": question.fills,
    }
