"""The register, and every door's last check, as known up to an entry."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from doorround.domain.entries import EntryKind
from doorround.domain.schedule.due import DoorId, DoorStatus
from doorround.logbook.connection import Connection
from doorround.logbook.local_days import LocalDays

_REGISTER = """SELECT kind, at, site, building, door,
    coalesce(json_extract(body, '$.door.floor'), json_extract(body, '$.floor'), ''),
    coalesce(json_extract(body, '$.door.place'), json_extract(body, '$.place'), ''),
    coalesce(json_extract(body, '$.door.use'), json_extract(body, '$.use')),
    json_extract(body, '$.was.site'), json_extract(body, '$.was.building'),
    json_extract(body, '$.was.number'), json_extract(body, '$.on')
FROM entries WHERE kind IN ('door added', 'door changed', 'door moved', 'door renumbered',
    'door retired', 'door brought back', 'first check planned') AND seq <= ? ORDER BY seq"""
_NAMES = """SELECT c.site, c.building, c.number, n.site, n.building, n.number
FROM door_names AS n JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
WHERE n.until > ?1 AND n.since <= ?1"""
_VISITS = """SELECT v.at, v.site, v.building, v.number, v.person, v.seen, v.entered
FROM visits AS v WHERE v.seq <= ?1 AND (NOT v.doubted OR v.entered IS NOT NULL AND NOT EXISTS (
    SELECT 1 FROM entries AS w WHERE w.kind = 'earlier check withdrawn' AND +w.seq <= ?1
        AND json_extract(w.body, '$.of') = v.seq
)) ORDER BY v.seq"""


@dataclass
class _Door:
    """One door while entries are folded. at, by: of its last check; before: made before
    doorround.
    """

    added: date
    floor: str = ""
    place: str = ""
    use: str | None = None
    retired: bool = False
    planned: date | None = None
    at: str | None = None
    by: str | None = None
    before: bool = False
    tried: str | None = None
    tries: int = 0


class Names:
    """Door names when the entry of that number was the last."""

    def __init__(self, logbook: Connection, seq: int) -> None:
        rows = logbook._rows(_NAMES, seq)
        self._once: dict[DoorId, DoorId] = {(a, b, c): (d, e, f) for a, b, c, d, e, f in rows}

    def then(self, now: DoorId) -> DoorId:
        """A door's name at that time, by its current name."""
        return self._once.get(now, now)


def register_as_of(logbook: Connection, seq: int) -> list[DoorStatus]:
    """Every door in use when the entry of that number was the last."""
    local = LocalDays(logbook.zone)
    doors: dict[DoorId, _Door] = {}
    for row in logbook._rows(_REGISTER, seq):
        _take(doors, row, local)
    names = Names(logbook, seq)
    for at, site, building, number, person, seen, entered in logbook._rows(_VISITS, seq):
        door = doors.get(names.then((site, building, number)))
        if door is not None:
            _visited(door, at, person or None, bool(seen), entered is not None)
    return [_door_status(id, door, local) for id, door in doors.items() if not door.retired]


def _take(doors: dict[DoorId, _Door], row: tuple[Any, ...], local: LocalDays) -> None:
    kind, at, site, building, number, floor, place, use, *was, day = row
    id = (site, building, number)
    if kind in (EntryKind.DOOR_MOVED, EntryKind.DOOR_RENUMBERED):
        old = doors.pop((was[0], was[1], was[2]), None)
        doors[id] = old or _Door(local.of(at))
    door = doors.setdefault(id, _Door(local.of(at)))
    match kind:
        case EntryKind.DOOR_RETIRED | EntryKind.DOOR_BROUGHT_BACK:
            door.retired = kind == EntryKind.DOOR_RETIRED
        case EntryKind.FIRST_CHECK_PLANNED:
            door.planned = date.fromisoformat(day)
        case _:
            door.floor, door.place, door.use = floor, place, use


def _visited(door: _Door, at: str, person: str | None, seen: bool, before: bool) -> None:
    """A check that came late, dated before the last one, changes nothing; one from before doorround
    replaces another such one.
    """
    if not seen:
        door.tried = max(door.tried or "", at)
        door.tries += 1
    elif door.at is None or door.before or at >= door.at:
        door.at, door.by, door.before = at, person, before
        door.tried, door.tries = None, 0


def _door_status(id: DoorId, door: _Door, local: LocalDays) -> DoorStatus:
    site, building, number = id
    return DoorStatus(
        number,
        site,
        building,
        door.floor,
        door.place,
        door.use,
        door.added,
        local(door.at),
        local(door.tried),
        door.tries,
        door.by,
        door.planned,
    )


def retired_then(logbook: Connection, seq: int) -> set[DoorId]:
    """Doors retired, and not back in use, when the entry of that number was the last, by their
    names at that time.
    """
    sql = """SELECT site, building, door, kind FROM entries
        WHERE kind IN ('door retired', 'door brought back') AND seq <= ? ORDER BY seq"""
    last = {tuple(id): kind for *id, kind in logbook._rows(sql, seq)}
    return {(a, b, c) for (a, b, c), kind in last.items() if kind == EntryKind.DOOR_RETIRED}
