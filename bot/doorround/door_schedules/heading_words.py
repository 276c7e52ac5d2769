"""Column names used in door schedules. Common practice in the trade, no source."""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from typing import Any

REMARKS = "remarks"
"""Anything without a register field goes here, prefixed with its heading."""

FIELDS = (
    "number",
    "site",
    "building",
    "floor",
    "place",
    "use",
    "rating",
    "smoke",
    "leaves",
    "leaf_width_mm",
    "leaf_height_mm",
    "leaf_size",
    "leaf_mass_kg",
    "material",
    "glazing",
    "seals",
    "fire_seals",
    "smoke_seals",
    "seals_in",
    "seal_width_mm",
    "hinges",
    "hinge_grade",
    "closer",
    "closer_size",
    "hold_open",
    "latch",
    "threshold_seal",
    "letter_plate",
    "sign",
    "evidence",
    "last_check",
    "checked_by",
    "type",
    "remarks",
)
"""What a column may contain. smoke, leaf_size, fire_seals, smoke_seals and type are parsed into one
or several fields of a door; last_check and checked_by are entered as its last check before
doorround.
"""


def _table(name: str) -> dict[str, Any]:
    text = resources.files("doorround.door_schedules").joinpath("headings.toml").read_text("utf-8")
    return dict(tomllib.loads(text)[name])


def _names(table: str) -> dict[str, tuple[str, ...]]:
    return {name: tuple(words) for name, words in _table(table).items()}


SYNONYMS = _names("fields")
"""Column names by field, from headings.toml."""
PATTERNS = {name: re.compile(pattern) for name, pattern in _table("patterns").items()}
"""Fallback: fields by words in a heading that matches no name."""
NOT_FIELDS = set(_names("other")["words"])
"""Words that give a heading another meaning than it seems to have."""
