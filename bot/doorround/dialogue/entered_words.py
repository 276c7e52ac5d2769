"""What was just entered, in words to be said back."""

from __future__ import annotations

from collections.abc import Mapping

from doorround.dialogue.answer_values import more_of, put_together
from doorround.domain.answers import Answer
from doorround.domain.check import Check
from doorround.domain.findings import Finding, Verdict
from doorround.domain.judging.judge import verdict
from doorround.domain.parts import part_name
from doorround.domain.values import Measure, Value
from doorround.messages import confirming
from doorround.messages.answers import value_words

AnswerBefore = tuple[Answer, tuple[Finding, ...]]
"""An answer that another one took the place of, with its findings."""


def entered_words(check: Check, keys: tuple[str, ...], before: Mapping[str, AnswerBefore]) -> str:
    """What the answers at these questions say: every defect, and everything when several came at
    once; "" where a pass came alone.

    before: by question, what the answer now entered took the place of.
    """
    lines = []
    for key in keys:
        question = check.checklist.ask(key)
        answer = check.answers[key]
        findings = check.findings[key]
        passed = verdict(answer.value, findings) is Verdict.SOUND and not findings
        if len(keys) == 1 and passed and not answer.corrects and not put_together(answer.value):
            continue
        bad = (Verdict.DEFECT, Verdict.ACT_NOW)
        value, known = _news(answer, before.get(key))
        faults = [
            each.what
            for each in findings
            if (each.verdict in bad or each.made_good) and each not in known
        ]
        if faults and put_together(value):
            faults = [value_words(question, value, check.checklist), *faults]
        words = "; ".join(faults) or value_words(question, value, check.checklist)
        lines.append(confirming.entered(part_name(question, check.checklist), words))
    return " ".join(lines)


def _news(answer: Answer, before: AnswerBefore | None) -> tuple[Value, tuple[Finding, ...]]:
    """What an answer says that the one before it did not, and the findings that were told with
    that one.
    """
    added = (
        before is not None and isinstance(before[0].value, Measure) and before[0].value.unmeasured
    )
    if before is None or not added or not isinstance(answer.value, Measure):
        return answer.value, ()
    assert isinstance(before[0].value, Measure)
    return more_of(answer.value, before[0].value), before[1]
