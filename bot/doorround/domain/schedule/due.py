"""Doors due on a day. Pure: days are local to the site."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import NamedTuple

from doorround.domain.door import Use
from doorround.domain.schedule.intervals import OWN_DEFAULT, Intervals, Reason, strictest
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.schedule.walking_order import walk

DoorId = tuple[str, str, str]
"""Site, building, number."""

NEVER = Reason(Recurrence(1, "day"), "never checked", OWN_DEFAULT)
PLANNED = Reason(
    Recurrence(1, "day"), "never checked, first checks are spread", "set for the register"
)


class DoorStatus(NamedTuple):
    """A door's data for the due list. added: to the register. checked: last check. tried: last
    attempt since then at which nothing could be seen; tries: number of such attempts. by: who
    checked it last. planned: planned first check, for a register imported at once. Days are local.
    """

    number: str
    site: str
    building: str
    floor: str
    place: str
    use: str | None
    added: date
    checked: date | None = None
    tried: date | None = None
    tries: int = 0
    by: str | None = None
    planned: date | None = None

    @property
    def id(self) -> DoorId:
        return (self.site, self.building, self.number)

    @property
    def where(self) -> str:
        return ", ".join(part for part in (self.building, self.floor, self.place) if part)


class DueState(StrEnum):
    """Due date relative to today; THIS_WEEK: up to its Sunday."""

    OVERDUE = "overdue"
    TODAY = "today"
    THIS_WEEK = "this week"


def due_state(on: date, today: date) -> DueState:
    """Classify a due date, up to this week's Sunday, relative to today."""
    if on == today:
        return DueState.TODAY
    return DueState.OVERDUE if on < today else DueState.THIS_WEEK


@dataclass(frozen=True)
class Due:
    """A due door. on: due date. reason: the interval that counts. days_late: 0 unless overdue.
    outweighed: an earlier requirement that the responsible person overrides.
    """

    door: DoorStatus
    on: date
    reason: Reason
    when: DueState
    days_late: int = 0
    outweighed: Reason | None = None


def due_day(door: DoorStatus, intervals: Intervals) -> tuple[date, Reason]:
    """When a door is due, and why. One that was never checked is due on its planned day, or else on
    the day it was added to the register.

    An attempt at which nothing was seen does not change the due date.
    """
    if door.checked is None:
        return (door.planned, PLANNED) if door.planned else (door.added, NEVER)
    return strictest(intervals.in_force(_use(door), door.number), door.checked)


def outweighed(door: DoorStatus, on: date, intervals: Intervals) -> Reason | None:
    """The requirement for an earlier check that the responsible person overrides; None if there is
    none.
    """
    if door.checked is None:
        return None
    before, reason = strictest(intervals.reasons(_use(door), door.number), door.checked)
    return reason if before < on else None


def _use(door: DoorStatus) -> Use | None:
    return Use(door.use) if door.use else None


def sunday_of(day: date) -> date:
    """The last day of its week."""
    return day + timedelta(days=7 - day.isoweekday())


def due_list(doors: Iterable[DoorStatus], intervals: Intervals, today: date) -> list[Due]:
    """Overdue or due today, in walking order; then due by Sunday, in walking order."""
    found = list(_due(doors, intervals, today))
    now = [each for each in found if each.when is not DueState.THIS_WEEK]
    return [*_walked(now), *_walked([each for each in found if each.when is DueState.THIS_WEEK])]


def overdue_count(doors: Iterable[DoorStatus], intervals: Intervals, today: date) -> int:
    """Number of doors overdue on a day."""
    return sum(each.when is DueState.OVERDUE for each in _due(doors, intervals, today))


def _due(doors: Iterable[DoorStatus], intervals: Intervals, today: date) -> Iterator[Due]:
    """Doors due by Sunday, unordered.

    Doors with the same use and last check are computed once.
    """
    sunday = sunday_of(today)
    known: dict[tuple[str | None, date], tuple[date, Reason, Reason | None]] = {}
    for door in doors:
        alike = (
            (door.use, door.checked)
            if door.checked and door.number not in intervals.doors
            else None
        )
        found = known.get(alike) if alike else None
        if found is None:
            day, why = due_day(door, intervals)
            found = (day, why, outweighed(door, day, intervals))
            if alike:
                known[alike] = found
        on, reason, stricter = found
        if on <= sunday:
            days_late = max(0, (today - on).days)
            yield Due(door, on, reason, due_state(on, today), days_late, stricter)


def _walked(due: list[Due]) -> list[Due]:
    by_id = {each.door.id: each for each in due}
    return [by_id[door.id] for door in walk([each.door for each in due])]


def next_due(due: Iterable[Due], after: DoorId) -> Due | None:
    """The next door in walking order in the same building; from the start if the given one is not
    due.
    """
    here = [
        each
        for each in due
        if each.when is not DueState.THIS_WEEK and each.door.id[:2] == after[:2]
    ]
    for place, each in enumerate(here):
        if each.door.id == after:
            rest = here[place + 1 :]
            return rest[0] if rest else None
    return here[0] if here else None
