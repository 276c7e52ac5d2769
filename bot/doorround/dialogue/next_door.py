"""The next door by its number. Pure."""

from __future__ import annotations

import re

from doorround.domain.door import Door


def door_after(door: Door, register: tuple[Door, ...]) -> Door | None:
    """The next door of the same building by number, 9 before 10; None after the last one, or if
    there is no other.
    """
    same = [
        other for other in register if (other.site, other.building) == (door.site, door.building)
    ]
    later = [other for other in same if _in_order(other) > _in_order(door)]
    return min(later, key=_in_order, default=None)


def _in_order(door: Door) -> tuple[tuple[bool, int, str], ...]:
    parts = re.findall(r"\d+|\D+", door.number)
    return tuple((part.isdigit(), int(part) if part.isdigit() else 0, part) for part in parts)
