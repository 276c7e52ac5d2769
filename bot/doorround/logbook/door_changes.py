"""Enters door changes: moved, renumbered, retired, back in use; and checks made before doorround.

History follows the door: checks and defects belong to it under whatever number it has.
"""

from __future__ import annotations

from datetime import date, datetime, time
from zoneinfo import ZoneInfo

from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.plain_door import plain_door
from doorround.domain.plain_text import plain_line, plain_number, same_number
from doorround.logbook.errors import DoorExistsError, LogbookError
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

PLACES = ("site", "building", "floor", "place")


def move_door(
    logbook: Logbook, door: Door, places: dict[str, str], why: str, person: str, at: datetime
) -> Door:
    """Enter that a door has moved, or that its location is named differently; returns the updated
    door. Nothing is entered if nothing differs.

    places: site, building, floor, place; those given. Raises UnknownDoorError, DoorExistsError if
    another door of that building has its number, and ValueError without a reason.
    """
    why = reason(why)
    with logbook.writing():
        before = logbook.door(door.number, door.site, door.building)
        moved = plain_door(Door.model_validate({**before.model_dump(mode="json"), **places}))
        changed = [name for name in PLACES if getattr(before, name) != getattr(moved, name)]
        if changed:
            if (before.site, before.building) != (moved.site, moved.building):
                _refuse_taken(logbook, moved)
            was = {name: getattr(before, name) for name in ("number", *PLACES)}
            body = {
                "door": moved.model_dump(mode="json"),
                "was": was,
                "changed": changed,
                "why": why,
            }
            entry = Entry(
                kind=EntryKind.DOOR_MOVED, at=at, person=person, door=moved.number, body=body
            )
            logbook._enter([entry])
        return moved


def renumber_door(
    logbook: Logbook, door: Door, number: str, why: str, person: str, at: datetime
) -> Door:
    """Enter a door's new number; returns the updated door. The old number still finds it, until
    another door is given it. Raises UnknownDoorError, DoorExistsError if the new number is taken,
    ValueError without a reason.
    """
    why, number = reason(why), plain_number(number)
    with logbook.writing():
        before = logbook.door(door.number, door.site, door.building)
        if number == before.number:
            return before
        after = Door.model_validate({**before.model_dump(mode="json"), "number": number})
        if same_number(number) != same_number(before.number):
            _refuse_taken(logbook, after)
        was = {"number": before.number, "site": before.site, "building": before.building}
        body = {"door": after.model_dump(mode="json"), "was": was, "why": why}
        logbook._enter(
            [Entry(kind=EntryKind.DOOR_RENUMBERED, at=at, person=person, door=number, body=body)]
        )
        return after


def retire_door(logbook: Logbook, door: Door, why: str, person: str, at: datetime) -> None:
    """Retire a door: it is no longer due and cannot be checked. All its entries remain. Raises
    UnknownDoorError, also if already retired, ValueError without a reason.
    """
    _of_use(
        logbook,
        EntryKind.DOOR_RETIRED,
        logbook.door(door.number, door.site, door.building),
        why,
        person,
        at,
    )


def bring_back_door(logbook: Logbook, door: Door, why: str, person: str, at: datetime) -> None:
    """Bring a retired door back into use. Raises LogbookError if it is not retired."""
    if all(each.door != door for each in logbook.retired_doors()):
        raise LogbookError(f"Door {door.number} is in use.")
    _of_use(logbook, EntryKind.DOOR_BROUGHT_BACK, door, why, person, at)


def _of_use(
    logbook: Logbook, kind: EntryKind, door: Door, why: str, person: str, at: datetime
) -> None:
    body = {"why": reason(why), "site": door.site, "building": door.building}
    with logbook.writing():
        logbook._enter([Entry(kind=kind, at=at, person=person, door=door.number, body=body)])


def enter_last_check(
    logbook: Logbook,
    door: Door,
    on: date,
    source: str,
    person: str,
    now: datetime,
    by: str | None = None,
) -> bool:
    """Enter a door's last check before doorround, from which its due date is counted. Replaces an
    earlier such entry. False if that day was entered already.

    on: a local day. source: where it is recorded, such as "by book". by: who checked it, by name.
    Raises LogbookError for a future day, and if the door has since been checked with doorround,
    which takes precedence.
    """
    local = ZoneInfo(logbook.zone)
    if on > now.astimezone(local).date():
        raise LogbookError(
            f"Door {door.number}: {on} is still to come. Give the day of its last check."
        )
    source = plain_line(source, "source")
    with logbook.writing():
        known = logbook.door(door.number, door.site, door.building)
        if since := _checked_here(logbook, known):
            day = datetime.fromisoformat(since).astimezone(local).date()
            raise LogbookError(
                f"Door {known.number} was checked with doorround on {day}. That counts."
            )
        noon = stamp(datetime.combine(on, time(12), local))
        if noon == last_check_before(logbook, known)[1]:
            return False
        given = {"on": on.isoformat(), "at": noon, "source": source, **({"by": by} if by else {})}
        body = {"site": known.site, "building": known.building, **given}
        entry = Entry(
            kind=EntryKind.CHECKED_BEFORE, at=now, person=person, door=known.number, body=body
        )
        logbook._enter([entry])
        return True


def withdraw_last_check(logbook: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Withdraw the current last check before doorround; an earlier such entry counts again. Raises
    LogbookError if there is none.
    """
    with logbook.writing():
        known = logbook.door(door.number, door.site, door.building)
        of, _ = last_check_before(logbook, known)
        if of is None:
            raise LogbookError(f"No check before doorround was entered for door {known.number}.")
        body = {"of": of, "site": known.site, "building": known.building, "why": reason(why)}
        kind = EntryKind.CHECKED_BEFORE_WITHDRAWN
        logbook._enter([Entry(kind=kind, at=now, person=person, door=known.number, body=body)])


def last_check_before(logbook: Logbook, door: Door) -> tuple[int | None, str | None]:
    """Entry number of the current last check before doorround, and noon of its day as
    stored, UTC.
    """
    sql = """SELECT seq, at FROM visits WHERE number = ? AND site = ? AND building = ?
        AND entered IS NOT NULL AND NOT doubted ORDER BY seq DESC LIMIT 1"""
    rows = logbook._rows(sql, door.number, door.site, door.building)
    return (rows[0][0], rows[0][1]) if rows else (None, None)


def _checked_here(logbook: Logbook, door: Door) -> str | None:
    sql = """SELECT max(at) FROM visits WHERE number = ? AND site = ? AND building = ? AND seen = 1
        AND NOT doubted AND entered IS NULL"""
    found = logbook._rows(sql, door.number, door.site, door.building)[0][0]
    return None if found is None else str(found)


def _refuse_taken(logbook: Logbook, door: Door) -> None:
    if there := logbook._doors_alike(door.number, door.site, door.building):
        where = ", ".join(part for part in (there[0].site, there[0].building) if part)
        raise DoorExistsError(
            f"There is a door {there[0].number}{f' in {where}' if where else ''} already. "
            "Give another number, or renumber that one first."
        )


def reason(why: str) -> str:
    """Validate a reason. Raises ValueError if empty."""
    why = plain_line(why, "why")
    if not why:
        raise ValueError("Say why: --why.")
    return why
