"""Reads the due list's data: every door with its last check, in the site's local days."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from doorround.domain.door import Door, Use
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.schedule.due import DoorStatus, DueState, due_list, next_due, sunday_of
from doorround.domain.schedule.intervals import Intervals, latest_due
from doorround.logbook.as_of import as_of
from doorround.logbook.local_days import LocalDays, midnight_after
from doorround.logbook.register_as_of import register_as_of
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

_NOW = """SELECT number, site, building, floor, place, use, added, checked, tried, tries, by,
planned FROM door_status WHERE retired IS NULL"""


def door_statuses(logbook: Logbook, day: date | None = None) -> list[DoorStatus]:
    """Every door in use, with its last check. day: as known at the end of that local day; None: as
    known now.
    """
    then = logbook.last_seq() if day is None else as_of(logbook, day)
    if then < logbook.last_seq():
        return register_as_of(logbook, then)
    local = LocalDays(logbook.zone)
    return [_door_status(row, local) for row in logbook._rows(_NOW)]


def doors_due(logbook: Logbook, intervals: Intervals, day: date, now: datetime) -> list[DoorStatus]:
    """Doors that may be due by the Sunday of a local day, for due_list(). A past day: as things
    stood at its end.

    Reads only, for each use, the doors whose last check is old enough.
    """
    if as_of(logbook, day) < logbook.last_seq():
        return door_statuses(logbook, day)
    clauses = ["checked IS NULL"]
    given = list[str | None]()
    for use in (None, *Use):
        latest = latest_due(intervals.in_force(use, ""), sunday_of(day))
        clauses.append("use IS ? AND checked < ?")
        given += [use and use.value, stamp(midnight_after(latest, logbook.zone))]
    clauses += ["number = ?"] * len(intervals.doors)
    rows = logbook._rows(f"{_NOW} AND (({') OR ('.join(clauses)}))", *given, *intervals.doors)
    local = LocalDays(logbook.zone)
    return [_door_status(row, local) for row in rows]


def door_statuses_beside(logbook: Logbook, door: Door) -> list[DoorStatus]:
    """The doors in one door's building, currently."""
    local = LocalDays(logbook.zone)
    rows = logbook._rows(f"{_NOW} AND site = ? AND building = ?", door.site, door.building)
    return [_door_status(row, local) for row in rows]


def next_door(logbook: Logbook, intervals: Intervals, door: Door, now: datetime) -> Door | None:
    """The next door in today's walk through the building; None if nothing is due there."""
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    found = next_due(
        due_list(door_statuses_beside(logbook, door), intervals, today),
        (door.site, door.building, door.number),
    )
    return logbook.door(found.door.number, door.site, door.building) if found else None


def first_door(
    logbook: Logbook, intervals: Intervals, knows: Callable[[str], bool], now: datetime
) -> Door | None:
    """Where today's walk starts, within somebody's sites; None if nothing is due."""
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    doors = [each for each in doors_due(logbook, intervals, today, now) if knows(each.site)]
    due = [
        each for each in due_list(doors, intervals, today) if each.when is not DueState.THIS_WEEK
    ]
    return logbook.door(due[0].door.number, due[0].door.site, due[0].door.building) if due else None


def _door_status(row: tuple[Any, ...], local: LocalDays) -> DoorStatus:
    number, site, building, floor, place, use, added, checked, tried, tries, by, planned = row
    return DoorStatus(
        number,
        site,
        building,
        floor,
        place,
        use,
        local.of(added),
        local(checked),
        local(tried),
        int(tries),
        by,
        date.fromisoformat(planned) if planned else None,
    )


def refuse_access(logbook: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Enter an attempted visit with no access to the door.

    The door stays due; the attempt is recorded.
    """
    body = {"why": why, "site": door.site, "building": door.building}
    with logbook.writing():
        known = logbook.door(door.number, door.site, door.building)
        logbook._enter(
            [
                Entry(
                    kind=EntryKind.ACCESS_REFUSED,
                    at=now,
                    person=person,
                    door=known.number,
                    body=body,
                )
            ]
        )
