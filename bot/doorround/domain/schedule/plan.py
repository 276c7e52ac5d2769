"""What the responsible person set for reminders. Plain data; times are local to the site."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time

from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.intervals import Intervals

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
PICTURES = ("light", "dark", "none")


@dataclass(frozen=True)
class Plan:
    """nudge_at, summary_at: from when on each goes out. quiet_from, quiet_until: between them
    nothing is sent.

    days_off: weekdays, 0 Monday. country, region: whose public holidays are days off; "" for none.
    second_after: days until the second nudge. supervisor_after: days from that one until the
    supervisor hears of it. retry_after: days until a door that could not be got to is tried again.
    defects: by when each severity is dealt with.
    escalate_after: days past its date until the supervisor hears of a defect. snooze_days: how
    many days in a row somebody may be left alone. out_after: days after which a door out of action
    is called so and no more nagged as unchecked. picture: one of
    PICTURES, beside the summary. danger_breaks_quiet: what is to be acted on now is told in quiet
    hours too. alerts_to_group, summary_to_group: whether these go to the group that is bound to a
    site, too.
    """

    intervals: Intervals = field(default_factory=Intervals)
    nudge_at: time = time(8, 0)
    summary_at: time = time(16, 0)
    quiet_from: time = time(19, 0)
    quiet_until: time = time(7, 0)
    days_off: frozenset[int] = frozenset({5, 6})
    country: str = ""
    region: str = ""
    second_after: int = 2
    supervisor_after: int = 2
    retry_after: int = 7
    escalate_after: int = 3
    snooze_days: int = 3
    out_after: int = 7
    picture: str = "light"
    danger_breaks_quiet: bool = True
    alerts_to_group: bool = False
    summary_to_group: bool = False
    defects: Targets = field(default_factory=Targets)

    def quiet(self, at: time) -> bool:
        """Whether nothing is sent at that local time. Quiet hours may go past midnight."""
        if self.quiet_from <= self.quiet_until:
            return self.quiet_from <= at < self.quiet_until
        return at >= self.quiet_from or at < self.quiet_until


def long_out(since: date | None, plan: Plan, today: date) -> bool:
    """Whether a door is out of action for so long that it has a line of its own, and is not nagged
    as unchecked. since: from when on it is out; None where it is not.
    """
    return since is not None and (today - since).days >= plan.out_after
