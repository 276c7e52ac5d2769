"""Which questions are asked together of somebody who knows the checks. Pure."""

from __future__ import annotations

from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question


def invited(check: Check) -> tuple[Question, ...]:
    """Questions asked together now, the open one first. Empty if it is asked alone: again, after a
    miss, or because a fault was found there before.
    """
    first = check.asked
    alone = check.stage is not Stage.ASKING or check.misses or check.refused
    if first is None or not first.batch or not check.batches or alone or not _new(check, first):
        return ()
    together = []
    for question in check.unanswered[check.unanswered.index(first) :]:
        if question.batch != first.batch or not _new(check, question):
            break
        together.append(question)
    return tuple(together) if len(together) > 1 else ()


def _new(check: Check, question: Question) -> bool:
    """Whether nothing said now or found at an earlier check requires asking it alone."""
    gone = (*check.answers, *check.put_off, *check.left, *check.redo, *check.faulty)
    reported = [each.question for each in check.reported]
    unread = [each.question for each in check.unread]
    return question.key not in (*gone, *reported, *unread) and not check.barred(question)
