"""What another answer must have said before a question makes sense: no height without a tape, no
place of seals while nobody knows whether there are any.

Pure: reads only its arguments.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping

from doorround.domain.answers import Answer
from doorround.domain.question import Question
from doorround.domain.values import Choice, NotMeasured


def has_ground(question: Question, answers: Mapping[str, Answer], skipped: Collection[str]) -> bool:
    """Whether a question may be asked after these answers, by question.

    skipped: keys of what was put off or left.
    """
    tape = answers.get(question.tape)
    if tape is not None and isinstance(tape.value, NotMeasured):
        return False
    if not question.after:
        return True
    before = answers.get(question.after)
    if before is None:
        return question.after not in skipped
    return isinstance(before.value, Choice) and before.value.chosen != "unknown"
