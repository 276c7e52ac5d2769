"""Finds or asks for the door of a look at a repair or of a register change."""

from __future__ import annotations

from collections.abc import Callable

from doorround.dialogue.door_search import DoorSearch, SearchTurn, offer_doors
from doorround.domain.check import Prompt
from doorround.domain.door import Door
from doorround.domain.door_reference import AskedQuery
from doorround.domain.query import BEGINS, QueryKind
from doorround.logbook.errors import LogbookError
from doorround.logbook.repair_looks import door_to_look_at, doors_waiting
from doorround.logbook.store import Logbook
from doorround.messages import doors


def begins_by_order(heard: object) -> bool:
    """Whether the input asks for a look at a repair, or a register change."""
    return isinstance(heard, AskedQuery) and heard.asked.what in BEGINS


def find_ordered(
    logbook: Logbook, heard: AskedQuery, standing: DoorSearch, knows: Callable[[str], bool]
) -> SearchTurn:
    """The door for the visit, if certain; otherwise what to say. knows: whether a site is within
    somebody's scope.
    """
    asked = heard.asked
    if asked.what is QueryKind.CHANGE:
        return _to_change(standing, heard)
    if asked.what is QueryKind.LOOK and not heard.doors:
        try:
            return _begin(door_to_look_at(logbook, asked.name, asked.number, knows))
        except LogbookError as error:
            return _sorry(standing, str(error))
    waiting = doors_waiting(logbook, knows)
    if not waiting:
        return _sorry(standing, doors.NO_REPAIR_WAITS)
    if asked.what is QueryKind.LOOKS:
        return offer_doors(standing, waiting)
    meant = tuple(each for each in heard.doors if _id(each) in map(_id, waiting))
    if not meant:
        return _sorry(standing, doors.nothing_to_look_at(f"door {heard.doors[0].number}"))
    return _begin(meant[0]) if heard.sure else offer_doors(standing, meant)


def _to_change(standing: DoorSearch, heard: AskedQuery) -> SearchTurn:
    """Changes nothing itself: the visit begins, and asks for the fields that may have changed."""
    if heard.sure:
        return SearchTurn(DoorSearch(), (), heard.doors[0], confirmed=True, change=True)
    return offer_doors(standing, heard.doors, change=True)


def _begin(door: Door) -> SearchTurn:
    return SearchTurn(DoorSearch(), (), door, confirmed=True, look=True)


def _sorry(standing: DoorSearch, why: str) -> SearchTurn:
    return SearchTurn(standing, (Prompt(text=why),))


def _id(door: Door) -> tuple[str, str, str]:
    return door.site, door.building, door.number
