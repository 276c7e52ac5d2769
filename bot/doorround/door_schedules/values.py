"""Parses one cell: register fields, "not known", or a doubt."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any

from pydantic import ValidationError

from doorround.domain.door import Closer, Door, Fitted, Glazing, HoldOpen, Latch, Seals
from doorround.door_schedules.measures import read_count, read_length, read_mass, read_size
from doorround.door_schedules.ratings import NotRated, ReadRating, rating_within, read_rating
from doorround.door_schedules.value_words import plain_words, read_words, says_more
from doorround.door_schedules.yes_no import UNKNOWN, plain_word, yes_or_no

ReadWords = Callable[[str, str], Any]
"""The talk's understanding of words at the question that fills a field; None if there is none."""


@dataclass(frozen=True)
class ReadCell:
    """A parsed cell. fields: of the register. smoke, fire_seals, smoke_seals: given in separate
    columns. not_rated: it is not a fire door. remark: anything the fields cannot hold, with its
    heading. doubt: why it was not understood; "" if it was.
    """

    fields: dict[str, Any] = field(default_factory=dict)
    marks: dict[str, bool] = field(default_factory=dict)
    not_rated: bool = False
    remark: str = ""
    doubt: str = ""


@dataclass(frozen=True)
class Context:
    """unit: of numbers, from the heading. x: what an "x" means in this column. pairs: hinges are
    counted in pairs. said: the talk's understanding.
    """

    unit: float | None = None
    x: bool | None = True
    pairs: bool = False
    said: ReadWords | None = None


_YES: dict[str, StrEnum | None] = {
    "threshold_seal": Fitted.YES,
    "letter_plate": Fitted.YES,
    "closer": None,
    "hold_open": None,
    "glazing": None,
    "seals": None,
    "latch": None,
    "sign": None,
}
"""What "yes" implies for a field: None if it exists but of unknown type, which is asked at the
door.
"""
_NO: dict[str, StrEnum | None] = {
    "threshold_seal": Fitted.NO,
    "letter_plate": Fitted.NO,
    "closer": Closer.MISSING,
    "hold_open": HoldOpen.NONE,
    "glazing": Glazing.NONE,
    "seals": Seals.NONE,
    "latch": Latch.NONE,
    # a missing sign is a finding of a check, not what the door should have
    "sign": None,
}
_MARKS = ("smoke", "fire_seals", "smoke_seals")
_LENGTHS = {
    "leaf_width_mm": (201.0, 3000.0),
    "leaf_height_mm": (401.0, 5000.0),
    "seal_width_mm": (1.0, 100.0),
}
_COUNTS = {"hinges": 8, "closer_size": 7, "hinge_grade": 14}
_COUNTED = re.compile(r"[\d.½/\s]+|\b(?:no|nr|x|pairs?|prs?|hinges?|off|each)\b\.?", re.I)
NO_CELL = ReadCell()


def read_cell(name: str, text: str, heading: str, context: Context) -> ReadCell:
    """Parse a cell of a field. Anything not understood becomes a doubt and a remark."""
    if plain_word(text) in UNKNOWN:
        return NO_CELL
    try:
        return _read(name, text, heading, context)
    except ValueError as error:
        why = str(error)
    if context.said is not None and (meant := _meant(name, text, context.said)) is not None:
        return ReadCell(fields=meant)
    return ReadCell(remark=f"{heading}: {text}", doubt=why)


def _read(name: str, text: str, heading: str, context: Context) -> ReadCell:
    if name == "rating":
        return _rating(text, heading)
    if name in _MARKS:
        return _mark(name, text, heading, context)
    if name in _LENGTHS:
        return ReadCell(fields={name: read_length(text, context.unit, *_LENGTHS[name])})
    if name == "leaf_size":
        width, height, pair = read_size(text, context.unit)
        size = {"leaf_width_mm": width, "leaf_height_mm": height}
        return ReadCell(fields={**size, **({"leaves": "pair"} if pair else {})})
    if name == "leaf_mass_kg":
        return ReadCell(fields={name: read_mass(text, context.unit)})
    if name in _COUNTS:
        return _count(name, text, context)
    if name == "type":
        return _type(text, heading)
    return _words(name, text, heading, context)


def _rating(text: str, heading: str) -> ReadCell:
    found = read_rating(text)
    if found is None:
        return NO_CELL
    if isinstance(found, NotRated):
        return ReadCell(not_rated=True)
    rest = f"{heading}: {text}" if found.rest else ""
    return ReadCell(fields={"rating": found.rating.text}, remark=rest)


def _mark(name: str, text: str, heading: str, context: Context) -> ReadCell:
    try:
        has = yes_or_no(text, context.x)
    except ValueError:
        # "brush in frame" implies that there is one
        seals = read_words("seals", text)
        smoky = seals in (Seals.SMOKE, Seals.PAIR_SMOKE) or re.search(
            r"\b(?:brush|fin|blade|smoke)\b", plain_words(text)
        )
        if name == "smoke_seals" and smoky and not re.search(r"\b(?:no|not|missing)\b", text, re.I):
            return ReadCell(marks={name: True}, remark=f"{heading}: {text}")
        if name == "fire_seals" and seals in (Seals.PLAIN, Seals.PAIR):
            return ReadCell(marks={name: True})
        if name == "smoke" and re.fullmatch(r"s[ac]?|sm|s200|smoke(?: .*)?", plain_words(text)):
            return ReadCell(marks={name: True})
        raise
    return NO_CELL if has is None else ReadCell(marks={name: has})


def _count(name: str, text: str, context: Context) -> ReadCell:
    number = read_count(text, _COUNTS[name], context.pairs)
    rest = _COUNTED.sub(" ", text)
    return ReadCell(
        fields={name: number},
        remark=f"{name.replace('_', ' ').capitalize()}: {text}" if rest.strip(" .,-") else "",
    )


def _type(text: str, heading: str) -> ReadCell:
    """A type or description column may contain a rating, a use, or the number of leaves."""
    fields: dict[str, Any] = {}
    try:
        rating = read_rating(text)
        if isinstance(rating, ReadRating) and not rating.rest:
            return ReadCell(fields={"rating": rating.rating.text})
    except ValueError:
        pass
    if rated := rating_within(text):
        fields["rating"] = rated.text
    if not fields and (use := read_words("use", text)):
        return ReadCell(fields={"use": use})
    words = f" {plain_words(text)} "
    if leaves := next((w for w in (" single ", " double ", " pair ") if w in words), None):
        fields["leaves"] = read_words("leaves", leaves.strip())
    return ReadCell(fields=fields, remark=f"{heading}: {text}")


def _words(name: str, text: str, heading: str, context: Context) -> ReadCell:
    known = _of_register(name, text)
    if known is not None:
        return ReadCell(fields={name: known})
    if (found := read_words(name, text)) is not None:
        more = f"{heading}: {text}" if says_more(name, text) else ""
        return ReadCell(fields={name: found}, remark=more)
    has = _has(name, text, context)
    if has is None:
        return NO_CELL
    value = (_YES if has else _NO)[name]
    if name == "seals" and has:
        return ReadCell(marks={"fire_seals": True}, remark=f"{heading}: {text}")
    # there is one, but its type is not given
    return (
        ReadCell(fields={name: value})
        if value is not None
        else ReadCell(remark=f"{heading}: {text}")
    )


def _has(name: str, text: str, context: Context) -> bool | None:
    """Yes, no, or not known, for a field whose cell names no value."""
    if name in _YES:
        try:
            return yes_or_no(text, context.x)
        except ValueError:
            if plain_word(text) == "x":
                raise
    raise ValueError(f"names no {name.replace('_', ' ')} that the register has")


def _of_register(name: str, text: str) -> Any:
    """The value if the cell has the register's own words."""
    try:
        return getattr(Door.model_validate({"number": "1", name: text.strip()}), name)
    except ValidationError:
        low = " ".join(text.split()).lower()
        for case in (low, low.capitalize()):
            try:
                return getattr(Door.model_validate({"number": "1", name: case}), name)
            except ValidationError:
                continue
    return None


def _meant(name: str, text: str, said: ReadWords) -> dict[str, Any] | None:
    if name not in Door.model_fields:
        return None
    value = said(name, text)
    return None if value is None else {name: value}


def seals_of(marks: dict[str, bool]) -> Seals | None:
    """The seals implied by two yes/no columns; None if they imply none."""
    fire, smoke = marks.get("fire_seals"), marks.get("smoke_seals")
    if fire and smoke:
        return Seals.SMOKE
    if fire and smoke is False:
        return Seals.PLAIN
    return Seals.NONE if fire is False and smoke is False else None
