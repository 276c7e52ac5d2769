"""The responsible person's settings for reminders. Plain data; times are local to the site."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, time

from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.intervals import Intervals

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
PICTURES = ("light", "dark", "none")


@dataclass(frozen=True)
class Plan:
    """nudge_at, summary_at: sending times. quiet_from, quiet_until: no messages in between.

    days_off: weekdays, 0 Monday. country, region: its public holidays are days off; "" for none.
    second_after: days until the second nudge. supervisor_after: days from that one until the
    supervisor is told. retry_after: days until a door without access is tried again. defects:
    target days by severity. escalate_after: days past its date until the supervisor is told of a
    defect. snooze_days: maximum consecutive days of snoozing. out_after: days after which a door
    out of action is listed as such and no longer gets reminders. picture: one of PICTURES, beside
    the summary. danger_breaks_quiet: act-now findings are also sent in quiet hours.
    alerts_to_group, summary_to_group: also send these to the group bound to a site.
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
        """Whether that local time is within quiet hours, which may span midnight."""
        if self.quiet_from <= self.quiet_until:
            return self.quiet_from <= at < self.quiet_until
        return at >= self.quiet_from or at < self.quiet_until


def long_out(since: date | None, plan: Plan, today: date) -> bool:
    """Whether a door has been out of action so long that it has its own line and no longer gets
    reminders. since: start of that; None if it is not out of action.
    """
    return since is not None and (today - since).days >= plan.out_after
