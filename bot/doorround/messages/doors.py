"""A door in words: its name, its location, and its known defects."""

from __future__ import annotations

from collections.abc import Sequence

from doorround.domain.door import Door

LOOK_FIRST = (
    "Last time this door was not to be moved: look before you open it, and say what you see."
)


def door_line(door: Door, at_site: bool = False) -> str:
    """The door that the bot has identified: "Door 12: ground floor, by the post room. FD30S.".
    at_site: with its site, if there are several: "Door 12: Alder House, ground floor, …".
    """
    where = ", ".join(filter(None, (door.site if at_site else "", door.where)))
    rating = f" {door.rating}." if door.rating else ""
    return f"Door {door.number}" + (f": {where}" if where else "") + "." + rating


def door_name(door: Door) -> str:
    """A door in a list: "Door 2.14: Alder House, third floor, stair B"."""
    where = ", ".join(part for part in (door.site, door.where) if part)
    return f"Door {door.number}" + (f": {where}" if where else "")


def out_of_action(why: str) -> str:
    """About a door that is about to be checked. why: what is wrong with it."""
    return f"This door is out of action: {why}."


def open_defects(faults: Sequence[str]) -> str:
    """About a door that is about to be checked."""
    return f"Open here: {'; '.join(faults)}."


def to_look_at(faults: Sequence[str]) -> str:
    """About a door that is about to be checked: reported repairs."""
    return f"Said to be made good, please look again: {'; '.join(faults)}."


def nothing_to_look_at(what: str) -> str:
    """what: where somebody wants to look at a repair, "door 12" or "defect 17"."""
    return f"No repair at {what} is waiting for a look."


NO_REPAIR_WAITS = "No repair is waiting for a look."


def looks_at_several(number: str, defects: Sequence[int]) -> str:
    """Repairs are waiting at several doors with the same number. defects: their numbers."""
    ways = " or ".join(f"“look at defect {each}”" for each in defects)
    return f"There are several doors {number} with repairs to look at. Say {ways}."
