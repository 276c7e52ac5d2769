"""What may be said now, as the talk stands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from bot.domain.check import Check, Stage
from bot.domain.checklist import Question


@dataclass(frozen=True)
class Listening:
    """Which answers may come.

    open: the question a bare answer belongs to. others: unanswered questions that may be answered by naming their
    part. last: answered by the turn before, or waiting to be confirmed: they may be corrected. yes_no: a read-back is
    open.
    """

    stage: Stage
    open: Question | None = None
    others: tuple[Question, ...] = ()
    last: tuple[Question, ...] = ()
    yes_no: bool = False

    def after(self, answered: tuple[str, ...]) -> Listening:
        """What may follow in the same breath: the next question of the part spoken of, bare; all others by name."""
        left = [question for question in (self.open, *self.others) if question and question.key not in answered]
        parts = [question.component for question in (self.open, *self.others) if question and question.key in answered]
        follows = next((question for question in left if question.component in parts[-1:]), None)
        others = tuple(question for question in left if question is not follows)
        return replace(self, open=follows, others=others, last=())


def listening(check: Check) -> Listening:
    """What may be said at this point of a check."""
    if check.closed or check.stage is Stage.PAUSED:
        return Listening(check.stage)
    find = check.checklist.ask
    if check.stage is Stage.CONFIRMING and check.pending:
        keys = dict.fromkeys(said.question for said in check.pending.said if said.question)
        return Listening(check.stage, last=tuple(find(key) for key in keys), yes_no=True)
    last = tuple(find(key) for key in check.last)
    if check.stage is Stage.ASKING:
        others = tuple(question for question in check.unanswered if question.key != check.open)
        return Listening(check.stage, check.asked, others, last)
    return Listening(check.stage, last=last, yes_no=check.stage is Stage.CANCELLING)
