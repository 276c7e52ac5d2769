"""Names of places and floors, and the words before them."""

from __future__ import annotations

import re

SAME_PLACES = {
    "stair": ("stairs", "staircase", "stairwell"),
    "stairs": ("stair", "staircase"),
    "staircase": ("stair", "stairs"),
    "lift": ("elevator",),
    "lifts": ("lift", "elevator"),
    "corridor": ("hallway", "hall"),
    "cupboard": ("closet",),
    "store": ("store room",),
    "storeroom": ("store room",),
    "flat": ("apartment",),
    "toilets": ("toilet",),
    "riser": ("riser cupboard",),
    "plantroom": ("plant room",),
}

PARTED = re.compile(
    r"\b(?:by|at|in|on|near|next to|opposite|to|from|of|behind|beside)\b(?: the\b)?|,"
)

LEADING = re.compile(r"^(?:by|at|in|on|near|next to|opposite|to|from|behind|beside|the)(?: the)? ")

SHORT_FLOORS = {
    "g": "ground floor",
    "gf": "ground floor",
    "lg": "lower ground",
    "b": "basement",
    "m": "mezzanine",
}

BEFORE_FLOOR = ("on", "on the", "in", "in the", "the")

LEADING_FLOOR = re.compile(r"^(?:on |in )?(?:the )?")
