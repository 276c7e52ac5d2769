"""Wording of the answers just entered, to be said back."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from doorround.dialogue.answer_values import more_of, put_together
from doorround.domain.answers import Answer
from doorround.domain.check import Check
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.judge import verdict
from doorround.domain.parts import faceless_name, part_name
from doorround.domain.values import Measure, Value
from doorround.messages import confirming
from doorround.messages.answers import value_words

AnswerBefore = tuple[Answer, tuple[Finding, ...]]
"""A replaced answer, with its findings."""


def entered_words(
    check: Check,
    keys: tuple[str, ...],
    before: Mapping[str, AnswerBefore],
    agreed: Collection[str] = (),
) -> str:
    """The answers to these questions, each in a word or two, so that nobody repeats them; "" if all
    of them were just read back.

    before: the replaced answer of each question. agreed: answers that were read back and confirmed,
    as worded by said_words().
    """
    lines = []
    for key in keys:
        question = check.checklist.ask(key)
        passed = verdict(check.answers[key].value, check.findings[key]) is Verdict.SOUND
        if passed and agreed and not check.findings[key]:
            continue
        words = _words(check, key, before.get(key))
        if f"{part_name(question, check.checklist)}: {words}" in agreed:
            continue
        name = faceless_name if passed and keys == (check.open,) else part_name
        lines.append(confirming.entered(name(question, check.checklist), words))
    return " ".join(lines)


def _words(check: Check, key: str, before: AnswerBefore | None) -> str:
    """The faults of one answer, or its value if it has none."""
    question = check.checklist.ask(key)
    bad = (Verdict.DEFECT, Verdict.ACT_NOW)
    value, known = _news(check.answers[key], before)
    faults = [
        each.what
        for each in check.findings[key]
        if (each.verdict in bad or each.made_good) and each not in known
    ]
    if faults and put_together(value):
        faults = [value_words(question, value, check.checklist), *faults]
    return "; ".join(faults) or value_words(question, value, check.checklist)


def _news(answer: Answer, before: AnswerBefore | None) -> tuple[Value, tuple[Finding, ...]]:
    """The new part of an answer, and the findings that were already told with the previous one."""
    added = (
        before is not None and isinstance(before[0].value, Measure) and before[0].value.unmeasured
    )
    if before is None or not added or not isinstance(answer.value, Measure):
        return answer.value, ()
    assert isinstance(before[0].value, Measure)
    return more_of(answer.value, before[0].value), before[1]
