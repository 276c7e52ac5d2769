"""Parses floors: "floor thirteen", "13th", "ground", "B1", "mezzanine".

The ground floor is 0 and the first floor one up, as in Britain. An American register that begins at
the first floor remains consistent: the same words name the same floor, and storeys keep their
order. Names of floors: common practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache

from doorround.english.number_words import number_in

_CALLED = {
    "0": ("ground", "g", "gf", "main", "street", "entrance", "zero"),
    "-1": ("basement", "cellar", "b"),
    "-2": ("sub basement", "sub-basement", "lower basement"),
    "lower ground": ("lower ground", "lg", "lgf"),
    "upper ground": ("upper ground", "ug", "ugf"),
    "mezzanine": ("mezzanine", "mezz", "m"),
}
_NAMED = {words: name for name, called in _CALLED.items() for words in called}
_HEIGHTS = {"lower ground": -1.0, "mezzanine": 0.5, "upper ground": 0.5}
_STOREY = "(?:floor|level|storey|story)"
_AROUND = re.compile(rf"^(?:on |in )?(?:the )?(?:{_STOREY}(?: number)? )?| {_STOREY}$")
_BELOW = re.compile(r"(?:basement(?: level)? |b ?|minus |-)(?=\w)")


@lru_cache(maxsize=4096)
def floor_name(floor: str) -> str:
    """Canonical name of a floor: "13" for "floor thirteen" and "13th floor", "-1" for "basement",
    "B1". A floor without a number keeps its own words, "roof"; "" for no floor.
    """
    words = _AROUND.sub("", " ".join(floor.lower().replace(".", " ").split()))
    words = _AROUND.sub("", words)
    if words in _NAMED:
        return _NAMED[words]
    if (number := number_in(words)) is not None:
        return str(number)
    below = _BELOW.match(words)
    depth = number_in(words[below.end() :]) if below else None
    return words.replace("-", " ") if depth is None else str(-depth)


def storey(floor: str) -> float:
    """Storeys above the ground floor, fractional for a floor in between: "third floor" is 3, "B1"
    -1, "mezzanine" 0.5. Unknown names give 0.
    """
    name = floor_name(floor)
    if name in _HEIGHTS:
        return _HEIGHTS[name]
    return float(name) if re.fullmatch(r"-?\d+", name) else 0.0


def same_floor(one: str, other: str) -> bool:
    """Whether two names mean the same floor. "No floor" never equals another."""
    return bool(one.strip()) and floor_name(one) == floor_name(other)
