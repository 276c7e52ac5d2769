"""Determines door locations from titles, section rows, sheet names, and room columns."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from itertools import pairwise

from doorround.door_schedules.cells import Cell, Sheet
from doorround.door_schedules.columns import Column, plain_heading
from doorround.english.floors import floor_name, storey

_BUILDING = re.compile(
    r"(?:block|building|bldg|tower|wing|core)\b.*|.*\b(?:house|tower|block|court|building|wing|point)",
    re.I,
)
_FLOOR = re.compile(r"\b(?:floor|level|lvl|storey|story|basement|mezzanine|ground|roof)\b", re.I)
_LABEL = re.compile(
    r"(site|property|premises|scheme|estate|project|address|building|block|floor|level|storey)"
    r"(?:\s+name)?\s*(:|=|$)\s*(.*)",
    re.I,
)
_FIELD = {
    "building": "building",
    "block": "building",
    "floor": "floor",
    "level": "floor",
    "storey": "floor",
}
_FROM = {"from", "from room", "fr room", "room from", "from space", "leads from"}
_TO = {"to", "to room", "room to", "to space", "leads to", "leading to"}
_KINDS = ("flat", "apartment", "room", "unit", "corridor", "zone", "space", "area")
_PLAIN_SHEET = re.compile(
    r"sheet ?\d*|table ?\d*|doors?|.*schedule.*|.*register.*|data|export", re.I
)
MAX_PLACE = 120


def is_floor(text: str) -> bool:
    """Whether words name a floor: "Ground Floor", "Level 2", "GF"; not a bare number."""
    name = floor_name(text)
    known = name in ("lower ground", "upper ground", "mezzanine") or re.fullmatch(r"-?\d+", name)
    bare = re.fullmatch(r"[\d.\s]+", text) or (len(text) < 2)
    if _FLOOR.search(text) and len(text) <= 40:
        return True
    return bool(known) and not bare and storey(text) < 200


def is_building(text: str) -> bool:
    """Whether words name a building: "Block B", "Alder House"."""
    return len(text) <= 60 and bool(_BUILDING.fullmatch(text.strip()))


def of_section(text: str) -> dict[str, str]:
    """Location given by a single-cell row, or a sheet name, for the doors below."""
    plain = text.strip().rstrip(":").strip()
    if label := _LABEL.fullmatch(plain):
        field = _FIELD.get(label[1].lower(), "site")
        return {field: label[3] or plain} if label[3] or field == "floor" else {}
    both = [part.strip() for part in re.split(r"\s*[-–—,/]\s*", plain, maxsplit=1)]
    if len(both) == 2 and is_building(both[0]) and is_floor(both[1]):
        return {"building": both[0], "floor": both[1]}
    if is_floor(plain):
        return {"floor": plain}
    return {"building": plain} if is_building(plain) else {}


def of_sheet(sheet: Sheet, headed: int) -> dict[str, str]:
    """Location given for all its doors by the sheet name and the rows above its headings."""
    found: dict[str, str] = {}
    for row in sheet.rows[: headed - 1]:
        cells = [cell for cell in row if cell.text and not cell.spread]
        for cell, after in pairwise([*cells, Cell("", 0, 0)]):
            label = _LABEL.fullmatch(cell.text.strip())
            if not label:
                continue
            place = label[3].strip() or after.text
            if place and not _LABEL.fullmatch(place):
                found.setdefault(_FIELD.get(label[1].lower(), "site"), place)
    named = {} if _PLAIN_SHEET.fullmatch(sheet.name) else of_section(sheet.name)
    return {**named, **found}


def place_words(cells: Sequence[tuple[Column, str]]) -> str:
    """A door's location from its columns, left to right: "Stair A", "room 1.02", "Lobby
    to Plant".
    """
    parts: list[str] = []
    start = ""
    for column, text in cells:
        if not text:
            continue
        head = plain_heading(column.heading)
        if head in _FROM:
            start = text
        elif head in _TO:
            parts.append(f"{start} to {text}" if start else f"to {text}")
            start = ""
        else:
            parts.append(_named(head, text))
    if start:
        parts.append(f"from {start}")
    return ", ".join(dict.fromkeys(parts))


def _named(head: str, text: str) -> str:
    """Prefix a bare number with its heading: 12 under "Flat" is "flat 12"."""
    kind = next((word for word in _KINDS if word in head.split()), "")
    bare = re.fullmatch(r"[A-Za-z]{0,2}[\d./-]+[A-Za-z]?", text)
    return f"{kind} {text}" if kind and bare else text


def shortened(text: str) -> str:
    """A location too long for the register, truncated between two words."""
    return text if len(text) <= MAX_PLACE else text[: MAX_PLACE - 1].rsplit(" ", 1)[0] + "…"


def filled_down(texts: Iterable[str]) -> list[str] | None:
    """Fill a column in which each group is named only on its first row; None if it is not one.

    It is one if names are followed by blanks, and no name occurs twice in a row.
    """
    column = list(texts)
    named = [text for text in column if text]
    blanks = len(column) - len(named)
    if not column or not column[0] or blanks < len(named) or len(set(named)) != len(named):
        return None
    found, last = [], ""
    for text in column:
        last = text or last
        found.append(last)
    return found
