"""Identifies what a column contains, by its heading."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from rapidfuzz import fuzz, process

from doorround.door_schedules.cells import column_letters
from doorround.door_schedules.heading_words import NOT_FIELDS, PATTERNS, REMARKS, SYNONYMS

ALIKE = 90
"""Minimum similarity of a heading and a name, out of 100, so that "Locaton" counts as a misspelling
of "Location".
"""
_UNITS = {
    "mm": 1.0,
    "millimetres": 1.0,
    "millimeters": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "metres": 1000.0,
    "in": 25.4,
    "ins": 25.4,
    "inch": 25.4,
    "inches": 25.4,
    "ft": 304.8,
}
_MASSES = {"kg": 1.0, "kgs": 1.0, "lb": 0.45359237, "lbs": 0.45359237}
_KNOWN = {
    name: (field, place) for field, names in SYNONYMS.items() for place, name in enumerate(names)
}


class How(StrEnum):
    """How a column's content was identified."""

    KNOWN = "known heading"
    LIKE = "looks like"
    SAID = "as you said"
    LETTER = "as you said of its letter"
    REMEMBERED = "as last time"
    NONE = "no field of the register"


@dataclass(frozen=True)
class Column:
    """A column's content. place: from 1. field: of FIELDS; REMARKS if none fits. unit: factor for
    numbers without a unit, from the heading: 25.4 for "(in)"; None if it gives none. like: the name
    that the heading resembles.
    """

    place: int
    heading: str
    field: str
    how: How
    unit: float | None = None
    like: str = ""

    @property
    def letters(self) -> str:
        return column_letters(self.place)


def plain_heading(text: str) -> str:
    """Normalised heading: "Door No. (A/B)" is "door no a b"."""
    words = unicodedata.normalize("NFKC", text)
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", words) if " " not in words.strip() else words
    words = words.casefold().replace("&", " and ").replace("№", " no ")
    words = re.sub(r"[’']s?\b", "", words)
    return " ".join(re.sub(r"[^\w#]+|_", " ", words).split())


def read_column(
    place: int, heading: str, said: Mapping[str, str], remembered: Mapping[str, str]
) -> Column:
    """Identify a column. place: from 1. said: fields by heading or letter, as given by the user,
    which take precedence over those remembered from earlier files, and these over the known
    headings. Otherwise a remark.
    """
    unit, bare = unit_of(heading)
    plain, whole = plain_heading(bare), plain_heading(heading)
    letters = column_letters(place).casefold()
    for given, how in ((said, How.SAID), (remembered, How.REMEMBERED)):
        for name in (whole, plain):
            if name and name in given:
                return Column(place, heading, given[name], how, unit)
    if letters in said:
        return Column(place, heading, said[letters], How.LETTER, unit)
    if plain in _KNOWN:
        return Column(place, heading, _KNOWN[plain][0], How.KNOWN, unit)
    short = plain_heading(re.sub(r"\s*[(\[].*", "", heading))
    if short in _KNOWN:
        return Column(place, heading, _KNOWN[short][0], How.LIKE, unit, short)
    field, like = _like(plain)
    if field:
        return Column(place, heading, field, How.LIKE, unit, like)
    return Column(place, heading, REMARKS, How.NONE, unit)


def _like(plain: str) -> tuple[str, str]:
    """The field that a heading resembles, and by which words; "" for none."""
    if NOT_FIELDS & set(plain.split()):
        return "", ""
    for field, pattern in PATTERNS.items():
        if pattern.search(plain):
            return field, field.replace("_", " ")
    like = _alike(plain)
    return (_KNOWN[like][0], like) if like else ("", "")


def _alike(plain: str) -> str | None:
    """The name that a heading misspells, or that makes up most of it; None if there is none."""
    if len(plain) < 4:
        return None
    found = process.extractOne(
        plain, [name for name in _KNOWN if len(name) >= 4], scorer=fuzz.ratio, score_cutoff=ALIKE
    )
    if found:
        return str(found[0])
    words = plain.split()
    # "Fire rating of door", "Closer fitted": contains a name of two words, or all but one small
    # word
    inside = [
        name
        for name in _KNOWN
        if len(name.split()) > 1 and f" {name} " in f" {plain} " and len(words) <= 6
    ]
    small = {
        "y",
        "n",
        "yes",
        "no",
        "fitted",
        "present",
        "type",
        "the",
        "of",
        "in",
        "a",
        "s",
        "qty",
        "required",
        "existing",
        "door",
        "provided",
        "details",
    }
    bare = " ".join(word for word in words if word not in small)
    return max(inside, key=len, default=bare if bare in _KNOWN and len(bare) >= 4 else None)


def unit_of(heading: str) -> tuple[float | None, str]:
    """The unit in a heading, as a factor to millimetres or kilograms, and the heading without it:
    "Width (mm)" is (1.0, "Width").
    """
    found = re.search(r"[\(\[/,]\s*([A-Za-z]+)\.?\s*[\)\]]?\s*$", heading)
    found = found or re.search(r"[\s_](mm|cm|kg|inches|lbs?)\s*$", heading)
    word = found[1].lower() if found else ""
    factor = {**_UNITS, **_MASSES}.get(word)
    return (factor, heading[: found.start()].strip()) if found and factor else (None, heading)


def rank_of(column: Column) -> int:
    """Confidence in a column's field, lowest is best, for when several claim the same."""
    if column.how in (How.SAID, How.LETTER, How.REMEMBERED):
        return -1
    name = column.like or plain_heading(unit_of(column.heading)[1])
    return _KNOWN[name][1] + (1000 if column.how is How.LIKE else 0) if name in _KNOWN else 2000
