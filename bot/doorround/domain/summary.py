"""A supervisor's summary: a message to be read in ten seconds, and the figures of its picture.

Pure; days are local.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NotRequired, TypedDict

from doorround.domain.defects import Defect, Moving, State
from doorround.domain.judging.severity import Severity
from doorround.domain.schedule.due import DoorId, Due, When

MAX_ACT_NOW = 3
MAX_PEOPLE = 4
MAX_TAPS = 6


class Figures(TypedDict):
    """What the picture of a summary shows, as plain data.

    doors: how many, by when they are due. defects: by severity, how many are open and how many of
    those are late. trend: name, checks, overdue doors and open defects of each span, oldest first.
    dark: drawn light on dark; light unless given.
    """

    name: str
    doors: dict[str, int]
    defects: dict[str, list[int]]
    trend: list[tuple[str, int, int, int]]
    dark: NotRequired[bool]


@dataclass(frozen=True)
class Visit:
    """One signed visit, or a refusal of access. seen: it counts as a check. doubted: signed by a
    clock in doubt.
    """

    day: date
    door: DoorId
    person: str
    seen: bool
    doubted: bool = False


@dataclass(frozen=True)
class Span:
    """What happened from one day to another, and how things stand at the end of the last. name:
    "Tuesday 3 March".

    trend: earlier spans and this one, oldest first, for the picture and for what has become better
    or worse. after, until: numbers of the entries between which it all was entered. clock: why the
    clock is in doubt; "" where it is not. corrected: what was entered since to correct it: when, by
    whom, what it says.
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

    def moved(self, what: Moving) -> int:
        """How many times defects came, ended or came again in it."""
        return sum(
            move.what is what and self.after < move.seq <= self.until
            for each in self.defects
            for move in each.moves
        )


@dataclass(frozen=True)
class Trend:
    """One step of a trend. name: "3 Mar". checks: in it; overdue, open: doors and defects at its
    end.
    """

    name: str
    checks: int
    overdue: int
    open: int


def figures_of(span: Span) -> Figures:
    """What the picture shows, as plain data that fits beside the message in the outbox."""
    open_ones = [each for each in span.defects if each.state is State.OPEN]
    overdue = sum(each.when is When.OVERDUE for each in span.due)
    today = sum(each.when is When.TODAY for each in span.due)
    return {
        "name": span.name,
        "doors": {
            "overdue": overdue,
            "due today": today,
            "in time": max(0, span.doors - overdue - today),
        },
        "defects": {
            severity.value: [
                sum(each.severity is severity for each in open_ones),
                sum(each.severity is severity and each.late(span.last) > 0 for each in open_ones),
            ]
            for severity in sorted(Severity, key=lambda each: -each.rank)
        },
        "trend": [(each.name, each.checks, each.overdue, each.open) for each in span.trend],
    }
