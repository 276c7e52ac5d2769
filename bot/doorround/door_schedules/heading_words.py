"""What door schedules call their columns. Common practice in the trade, no source."""

from __future__ import annotations

import re
import tomllib
from importlib import resources
from typing import Any

REMARKS = "remarks"
"""What has no field of the register is kept there, with its heading before it."""

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
"""What a column may hold. smoke, leaf_size, fire_seals, smoke_seals and type are read into several
fields of a door, or one; last_check and checked_by are entered as its last check before doorround.
"""


def _table(name: str) -> dict[str, Any]:
    text = resources.files("doorround.door_schedules").joinpath("headings.toml").read_text("utf-8")
    return dict(tomllib.loads(text)[name])


def _names(table: str) -> dict[str, tuple[str, ...]]:
    return {name: tuple(words) for name, words in _table(table).items()}


SYNONYMS = _names("fields")
"""Names of columns by field, as headings.toml has them."""
PATTERNS = {name: re.compile(pattern) for name, pattern in _table("patterns").items()}
"""What a heading is taken for by its words, where it is none of the names."""
NOT_FIELDS = set(_names("other")["words"])
"""Words by which a heading is of something else than it looks like."""
