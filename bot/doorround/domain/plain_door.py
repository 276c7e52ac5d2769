"""Normalises a door for entry."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.domain.plain_text import plain_line, plain_number


def plain_door(door: Door) -> Door:
    """The door with its number and places normalised. Raises ValueError for an invisible character
    in them.
    """
    places = {
        name: plain_line(getattr(door, name), name)
        for name in ("site", "building", "floor", "place")
    }
    texts = {"evidence": door.evidence, "remarks": door.remarks}
    notes = {name: text and plain_line(text, name) for name, text in texts.items()}
    plain = {**places, "number": plain_number(door.number), **notes}
    return Door.model_validate({**door.model_dump(mode="json"), **plain})
