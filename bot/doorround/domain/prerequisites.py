"""Answers that a question depends on: no height without a tape, no seal position while it is
unknown whether there are seals.

Pure.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from doorround.domain.answers import Answer
from doorround.domain.question import Question
from doorround.domain.values import Choice, NotMeasured


def has_ground(question: Question, answers: Mapping[str, Answer], skipped: Collection[str]) -> bool:
    """Whether a question may be asked, given the answers by question.

    skipped: keys of questions put off or left.
    """
    tape = answers.get(question.tape)
    if question.tape in skipped:
        return False
    if tape is not None and isinstance(tape.value, NotMeasured):
        return False
    if not question.after:
        return True
    before = answers.get(question.after)
    if before is None:
        return question.after not in skipped
    return isinstance(before.value, Choice) and before.value.chosen != "unknown"
