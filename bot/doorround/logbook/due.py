"""Reading what the due list needs: every door with its last check, in days of the site's own
zone.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from doorround.domain.door import Door, Use
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.schedule.due import Standing, When, due_list, next_due, sunday_of
from doorround.domain.schedule.intervals import Intervals, latest_due
from doorround.logbook.clock import Doubted
from doorround.logbook.reader import Reader
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

_MINUTE = len("2026-01-01T00:00")
_NOW = """SELECT number, site, building, floor, place, use, added, checked, tried, tries, by
FROM standing WHERE retired IS NULL"""
_THEN = """
WITH checks AS (
    SELECT number, site, building, max(seq) AS seq, at, person FROM visited WHERE seen = 1
        AND NOT doubted AND coalesce(entered, at) < ?1
    GROUP BY number, site, building
), attempts AS (
    SELECT v.number, v.site, v.building, max(v.at) AS tried, count(*) AS tries
    FROM visited AS v LEFT JOIN checks AS c USING (number, site, building)
    WHERE v.seen = 0 AND NOT v.doubted AND v.at < ?1 AND v.seq > coalesce(c.seq, 0)
    GROUP BY v.number, v.site, v.building
)
SELECT d.number, d.site, d.building, d.floor, d.place, d.use, d.added, c.at, a.tried,
coalesce(a.tries, 0), c.person
FROM standing AS d
LEFT JOIN checks AS c USING (number, site, building)
LEFT JOIN attempts AS a USING (number, site, building)
WHERE d.added < ?1 AND coalesce((
    SELECT r.kind FROM door_names AS c JOIN door_names AS n ON n.id = c.id
    JOIN entries AS r ON r.kind IN ('door retired', 'door brought back') AND r.door = n.number
        AND r.site = n.site AND r.building = n.building AND r.seq > n.since
        AND (n.until IS NULL OR r.seq < n.until)
    WHERE c.number = d.number AND c.site = d.site AND c.building = d.building AND c.until IS NULL
        AND r.at < ?1
    ORDER BY r.seq DESC LIMIT 1
), '') <> 'door retired'"""


def midnight_after(day: date, zone: str) -> datetime:
    """The end of a local day, UTC. A day may have 23 or 25 hours."""
    return datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone)).astimezone(UTC)


class LocalDays:
    """Local days of stored times. Remembers each minute it has seen."""

    def __init__(self, zone: str) -> None:
        self._zone = ZoneInfo(zone)
        self._known = dict[str, date]()

    def __call__(self, stamped: str | None) -> date | None:
        """The local day of a time as it is stored; None for None."""
        return None if stamped is None else self.of(stamped)

    def of(self, stamped: str) -> date:
        """The local day of a time as it is stored."""
        minute = stamped[:_MINUTE]
        found = self._known.get(minute)
        if found is None:
            found = datetime.fromisoformat(f"{minute}:00+00:00").astimezone(self._zone).date()
            self._known[minute] = found
        return found


class PlausibleDays:
    """Local days of entries; of those that a clock ahead of the time entered, the last day
    before.
    """

    def __init__(self, logbook: Reader) -> None:
        self._local = LocalDays(logbook.zone)
        self._doubted = Doubted(logbook)

    def of(self, seq: int, stamped: str) -> date:
        """The local day of an entry."""
        return self._local.of(self._doubted.time(seq, stamped))


def standings(logbook: Logbook, day: date | None = None) -> list[Standing]:
    """Every door of the register. day: as things stood at the end of that local day; None: as they
    stand.

    What the register says of a door is of now, whatever the day.
    """
    rows = (
        logbook._rows(_NOW)
        if day is None
        else logbook._rows(_THEN, stamp(midnight_after(day, logbook.zone)))
    )
    local = LocalDays(logbook.zone)
    return [_standing(row, local) for row in rows]


def doors_due(logbook: Logbook, intervals: Intervals, day: date, now: datetime) -> list[Standing]:
    """The doors that may be due by the Sunday of a local day, for due_list(). A past day: as things
    stood at its end.

    Only those are read: for each use, the doors whose last check is old enough.
    """
    if midnight_after(day, logbook.zone) <= now:
        return standings(logbook, day)
    clauses = ["checked IS NULL"]
    given = list[str | None]()
    for use in (None, *Use):
        latest = latest_due(intervals.reasons(use, ""), sunday_of(day))
        clauses.append("use IS ? AND checked < ?")
        given += [use and use.value, stamp(midnight_after(latest, logbook.zone))]
    clauses += ["number = ?"] * len(intervals.doors)
    rows = logbook._rows(f"{_NOW} AND (({') OR ('.join(clauses)}))", *given, *intervals.doors)
    local = LocalDays(logbook.zone)
    return [_standing(row, local) for row in rows]


def standings_beside(logbook: Logbook, door: Door) -> list[Standing]:
    """The doors of one door's building, as they stand."""
    local = LocalDays(logbook.zone)
    rows = logbook._rows(f"{_NOW} AND site = ? AND building = ?", door.site, door.building)
    return [_standing(row, local) for row in rows]


def next_door(logbook: Logbook, intervals: Intervals, door: Door, now: datetime) -> Door | None:
    """The door that comes after one in today's walk through its building; None where nothing is due
    there.
    """
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    found = next_due(
        due_list(standings_beside(logbook, door), intervals, today),
        (door.site, door.building, door.number),
    )
    return logbook.door(found.door.number, door.site, door.building) if found else None


def first_door(
    logbook: Logbook, intervals: Intervals, knows: Callable[[str], bool], now: datetime
) -> Door | None:
    """Where today's walk begins, on the sites that somebody has to do with; None where nothing is
    due.
    """
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    doors = [each for each in doors_due(logbook, intervals, today, now) if knows(each.site)]
    due = [each for each in due_list(doors, intervals, today) if each.when is not When.THIS_WEEK]
    return logbook.door(due[0].door.number, due[0].door.site, due[0].door.building) if due else None


def _standing(row: tuple[Any, ...], local: LocalDays) -> Standing:
    number, site, building, floor, place, use, added, checked, tried, tries, by = row
    return Standing(
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
    )


def refuse_access(logbook: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Enter that somebody came to a door and could not get to it.

    The door stays due; the attempt is kept.
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
