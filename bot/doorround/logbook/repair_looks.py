"""Repairs waiting for a look, for whoever goes there."""

from __future__ import annotations

from collections.abc import Callable

from doorround.domain.defects import State
from doorround.domain.door import Door
from doorround.domain.judging.severity import Targets
from doorround.domain.repair_look import Repair, repairs_of
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.messages import doors


def repairs_at(logbook: Logbook, door: Door) -> tuple[Repair, ...]:
    """Repairs at a door waiting for a look. Raises LogbookError if there are none."""
    found = read_defects(logbook, Targets(), door=door)
    repairs = repairs_of(found.at((door.site, door.building, door.number)))
    if not repairs:
        raise LogbookError(doors.nothing_to_look_at(f"door {door.number}"))
    return repairs


def doors_waiting(logbook: Logbook, knows: Callable[[str], bool]) -> tuple[Door, ...]:
    """Doors with a repair waiting for a look, in the order in which they were found faulty. knows:
    as for door_to_look_at().
    """
    waiting = {
        each.door: None
        for each in read_defects(logbook, Targets()).all.values()
        if each.state is State.MADE_GOOD and knows(each.door[0])
    }
    return tuple(logbook.door(number, site, building) for site, building, number in waiting)


def door_to_look_at(logbook: Logbook, kind: str, number: str, knows: Callable[[str], bool]) -> Door:
    """The door for a requested look. kind: what the number refers to, "door" or "defect". knows:
    whether a site is within somebody's scope.

    Raises LogbookError if nothing is waiting for a look, or several doors of that number are.
    """
    waiting = [
        each
        for each in read_defects(logbook, Targets()).all.values()
        if each.state is State.MADE_GOOD
        and knows(each.door[0])
        and (str(each.id) if kind == "defect" else each.door[2].casefold()) == number.casefold()
    ]
    if not waiting:
        raise LogbookError(doors.nothing_to_look_at(f"{kind} {number}"))
    if len({each.door for each in waiting}) > 1:
        raise LogbookError(doors.looks_at_several(number, [each.id for each in waiting]))
    site, building, door = waiting[0].door
    return logbook.door(door, site, building)
