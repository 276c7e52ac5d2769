"""A door in words: which one it is, and where."""

from __future__ import annotations

from doorround.domain.door import Door


def door_line(door: Door, at_site: bool = False) -> str:
    """Which door the bot thinks it is: "Door 12: ground floor, by the post room. FD30S.". at_site:
    with its site, where there are several: "Door 12: Alder House, ground floor, …".
    """
    where = ", ".join(filter(None, (door.site if at_site else "", door.where)))
    rating = f" {door.rating}." if door.rating else ""
    return f"Door {door.number}" + (f": {where}" if where else "") + "." + rating


def door_name(door: Door) -> str:
    """A door among others: "Door 2.14: Alder House, third floor, stair B"."""
    where = ", ".join(part for part in (door.site, door.where) if part)
    return f"Door {door.number}" + (f": {where}" if where else "")
