"""A supervisor's summary: a ten-second message, and the figures for its chart.

Pure; days are local.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NotRequired, TypedDict

from doorround.domain.defects import ChangeKind, DeedKind, Defect, State
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorId, Due, DueState

MAX_ACT_NOW = 3
MAX_PEOPLE = 4
MAX_TAPS = 6


class Figures(TypedDict):
    """Figures of a summary's chart, as plain data.

    building: common name of the doors. doors: number in each state. defects: by age, number open
    and number of those to be acted on now. trend: name, checks, overdue doors and open defects of
    each period, oldest first. dark: light on dark; otherwise dark on light.
    """

    name: str
    building: str
    doors: dict[str, int]
    defects: dict[str, list[int]]
    trend: list[tuple[str, int, int, int]]
    dark: NotRequired[bool]


@dataclass(frozen=True)
class Visit:
    """One signed visit, or a refusal of access. seen: it counts as a check. doubted: signed while
    the clock was in doubt.
    """

    day: date
    door: DoorId
    person: str
    seen: bool
    doubted: bool = False


@dataclass(frozen=True)
class Unconfirmed:
    """A fault that was read back and got neither a yes nor a no. words: with its part."""

    door: DoorId
    person: str
    words: str


@dataclass(frozen=True)
class Period:
    """Events of a period of days, and the state at its end. name: "Tuesday 3 March".

    trend: earlier spans and this one, oldest first, for the chart and for comparisons. after,
    until: numbers of the entries that delimit it. clock: why the clock is in doubt; . corrected:
    later corrections: when, by whom, what it says. long: a week or a month. since: since when doors
    have been out of action. places: of those doors. snoozed: who has snoozed, until when, and how
    many due doors are waiting. building: common name of the doors. retired: defects of retired
    doors: their history counts, but nobody is asked to repair them. counted: how often defects
    appeared, ended or reappeared, if counted day by day. unconfirmed: faults reported with neither
    a yes nor a no.
    """

    name: str
    first: date
    last: date
    due: Sequence[Due]
    visits: Sequence[Visit]
    defects: Sequence[Defect]
    out: Mapping[DoorId, str] = field(default_factory=dict)
    doors: int = 0
    trend: Sequence[Trend] = ()
    after: int = 0
    until: int = 1 << 62
    clock: str = ""
    corrected: tuple[tuple[datetime, str, str], ...] = ()
    long: bool = False
    since: Mapping[DoorId, date] = field(default_factory=dict)
    places: Mapping[DoorId, str] = field(default_factory=dict)
    snoozed: Sequence[tuple[str, date, int]] = ()
    building: str = ""
    retired: Sequence[Defect] = ()
    counted: Mapping[ChangeKind, int] | None = None
    unconfirmed: Sequence[Unconfirmed] = ()

    def changed(self, what: ChangeKind) -> int:
        """How many times defects appeared, ended or reappeared."""
        if self.counted is not None:
            return self.counted.get(what, 0)
        return sum(
            change.what is what and self.after < change.seq <= self.until
            for each in (*self.defects, *self.retired)
            for change in each.changes
        )

    @property
    def looks(self) -> int:
        """How many repairs somebody looked at."""
        return sum(
            deed.kind is DeedKind.LOOKED_AT and self.after < deed.seq <= self.until
            for each in (*self.defects, *self.retired)
            for deed in each.deeds
        )


@dataclass(frozen=True)
class Trend:
    """One step of a trend. name: "3 Mar". checks: during it; overdue, open: doors and defects at
    its end. doors: in the register then; none before it existed.
    """

    name: str
    checks: int
    overdue: int
    open: int
    doors: int = 1


AGES = (("under a week", 0), ("1 to 4 weeks", 7), ("over 4 weeks", 28))
"""Age groups of open defects, in words, with their lower bound in days."""
MIN_TREND = 3
"""Minimum number of trend steps worth showing."""


def figures_of(period: Period) -> Figures:
    """The chart's figures, as plain data stored with the message in the outbox."""
    open_ones = [each for each in period.defects if each.state is State.OPEN]
    late = {each.door.id for each in period.due if each.when is DueState.OVERDUE} - set(period.out)
    today = {each.door.id for each in period.due if each.when is DueState.TODAY} - set(period.out)
    others = len(period.out) + len(late) + len(today)
    ages = {
        name: [
            each
            for each in open_ones
            if from_day
            <= each.age(period.last)
            < (AGES[nth + 1][1] if nth + 1 < len(AGES) else 1e9)
        ]
        for nth, (name, from_day) in enumerate(AGES)
    }
    trend = [
        (each.name, each.checks, each.overdue, each.open) for each in period.trend if each.doors
    ]
    return {
        "name": period.name,
        "building": period.building,
        "doors": {
            "out of action": len(period.out),
            "late": len(late),
            "due today": len(today),
            "fine": max(0, period.doors - others),
        },
        "defects": {
            name: [len(some), sum(each.severity is Severity.ACT_NOW for each in some)]
            for name, some in ages.items()
        },
        "trend": trend if len(trend) >= MIN_TREND else [],
    }
