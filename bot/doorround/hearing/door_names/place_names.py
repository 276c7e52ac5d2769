"""Spoken forms of places, floors and buildings: "stair B", "the plant room on two", "third floor".

Synonyms for places: common practice, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache
from itertools import product

from doorround.domain.door import Door, Use
from doorround.english.number_words import cardinal, number_in, ordinal
from doorround.english.places import LEADING, PARTED, SAME_PLACES, SHORT_FLOORS
from doorround.english.spelling import SPELLED
from doorround.hearing.door_names.door_numbers import ways
from doorround.hearing.lexicon.tokeniser import split_words

_USES = {use: "corridor" if use is Use.CORRIDOR else str(use.value) for use in Use}
_TURNED = re.compile(r"(\d+)\s*(?:st|nd|rd|th)\b")
MAX_WAYS = 24
FLOORS = 1000
"""Range of storeys for a floor's number."""


def plain(text: str) -> str:
    """A text as spoken words, lower case, numbers spelled out: "3rd floor, stair B" → "third floor
    stair b".
    """
    text = _TURNED.sub(lambda found: f" {ordinal(int(found[1]))} ", text.lower())
    return " ".join(word for word in split_words(text) if word != "then")


@lru_cache(maxsize=20_000)
def place_ways(place: str) -> tuple[str, ...]:
    """Possible names of a place: in full, and by each part.

    "store by the east stair" → also "east stair".
    """
    found: dict[str, None] = {}
    for text in _numbers_said(place):
        words = plain(text)
        parts = [LEADING.sub("", plain(part)) for part in PARTED.split(text.lower())]
        names = dict.fromkeys(
            name for name in (words, LEADING.sub("", words), *parts) if name and name != "the"
        )
        found.update(dict.fromkeys(way for name in names for way in _otherwise(name)))
    return tuple(found)


def _numbers_said(place: str) -> list[str]:
    """The text with each spoken form of its first number: "room 214" → "room two fourteen", "room
    two one four" …
    """
    number = re.search(r"\b\d+\b(?!\s*(?:st|nd|rd|th)\b)", place)
    if number is None:
        return [place]
    return [place[: number.start()] + way + place[number.end() :] for way in ways(number[0])]


def _otherwise(name: str) -> list[str]:
    """Synonyms of a name: "stair b" is also "staircase b", "stair bravo"."""
    said = [
        (word, *SAME_PLACES.get(word, ()), *((SPELLED[word],) if word in SPELLED else ()))
        for word in name.split()
    ]
    return [" ".join(words) for words, _ in zip(product(*said), range(MAX_WAYS), strict=False)]


def use_ways(door: Door) -> tuple[str, ...]:
    """Names of a door derived from its use: "plant room", "riser"."""
    return tuple(_otherwise(_USES[door.use])) if door.use and door.use is not Use.OTHER else ()


@lru_cache(maxsize=1000)
def floor_ways(floor: str) -> tuple[str, ...]:
    """Names of a floor: "3", "Third floor" → "third floor", "floor three", "level three", "on
    three" …
    """
    words = plain(floor)
    words = SHORT_FLOORS.get(words, words)
    if not words:
        return ()
    number = _number(words)
    if number is not None:
        nth = ordinal(number)
        count = cardinal(number)
        found = [
            f"{nth} floor",
            f"floor {count}",
            f"level {count}",
            f"on {count}",
            f"on the {nth}",
            f"on {nth}",
        ]
        return tuple(
            dict.fromkeys([f"{nth} floor", f"on the {nth} floor", f"on {nth} floor", *found])
        )
    bare = words.removesuffix(" floor").removeprefix("the ")
    found = [words, f"on the {words}", f"in the {words}", bare, f"on {bare}"]
    if bare == "ground":
        found += ["ground floor", "on the ground floor", "on the ground"]
    return tuple(dict.fromkeys(found))


def _number(words: str) -> int | None:
    """The storey: "third floor", "floor three", "level three", "three" → 3; None for a floor with
    another kind of name.
    """
    core = (
        words.removeprefix("floor ")
        .removeprefix("level ")
        .removesuffix(" floor")
        .removesuffix(" storey")
    )
    number = number_in(core)
    return number if number and number < FLOORS else None


@lru_cache(maxsize=1000)
def building_ways(building: str) -> tuple[str, ...]:
    """A building by its name, with and without "in"."""
    words = plain(building)
    return (words, f"in {words}") if words else ()
