"""Which row holds the headings, and what each column holds."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

from rapidfuzz import fuzz, process

from doorround.register.cells import Cell, ScheduleError, Sheet, column_letters
from doorround.register.synonyms import FIELDS, NOT_FIELDS, PATTERNS, REMARKS, SYNONYMS

SEARCHED = 40
"""Rows in which headings are looked for: above them stand titles, addresses, revisions."""
ALIKE = 90
"""Of 100: how alike a heading and a name must be, so that "Locaton" is a slip of "Location"."""
MANY = ("place", "remarks", "type", "evidence", "site")
"""Fields that several columns may fill together."""
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
    """How it is known what a column holds."""

    KNOWN = "known heading"
    LIKE = "looks like"
    SAID = "as you said"
    LETTER = "as you said of its letter"
    REMEMBERED = "as last time"
    NONE = "no field of the register"


@dataclass(frozen=True)
class Column:
    """What a column holds. place: from 1. field: of FIELDS; REMARKS where none fits. unit: what a
    number without a unit is multiplied with, by the heading: 25.4 for "(in)"; None where it says
    none. like: the name that the heading looks like.
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


@dataclass(frozen=True)
class Headings:
    """The headings of a sheet. row: where they stand, from 1; the last of them, where two rows make
    one. columns: those with a heading or with anything below.
    """

    row: int
    columns: tuple[Column, ...]

    def of(self, field: str) -> list[Column]:
        """The columns of a field, from the left."""
        return [each for each in self.columns if each.field == field]


def plain_heading(text: str) -> str:
    """What two ways to write a heading have in common: "Door No. (A/B)" is "door no a b"."""
    words = unicodedata.normalize("NFKC", text)
    words = re.sub(r"(?<=[a-z])(?=[A-Z])", " ", words) if " " not in words.strip() else words
    words = words.casefold().replace("&", " and ").replace("№", " no ")
    words = re.sub(r"[’']s?\b", "", words)
    return " ".join(re.sub(r"[^\w#]+|_", " ", words).split())


def find_headings(
    sheet: Sheet, said: Mapping[str, str], remembered: Mapping[str, str]
) -> Headings | None:
    """The headings of a sheet, None where no row names a door's number and something else.

    said, remembered: fields by plain heading or by the letters of a column. Raises ScheduleError
    for a field that there is none of.
    """
    for name in said.values():
        if name not in FIELDS:
            raise ScheduleError(f'"{name}" is no field. Use one of: {", ".join(FIELDS)}.')
    if sheet.headed:
        return _read(sheet, [sheet.headed], said, remembered)
    best, most = None, 0.0
    for number in range(1, min(len(sheet.rows), SEARCHED) + 1):
        for rows in ([number], [number - 1, number]):
            if rows[0] < 1 or not _may_be_headings(sheet, rows):
                continue
            found = _read(sheet, rows, said, remembered)
            score = _score(sheet, found, rows)
            if score > most:
                best, most = found, score
    return best and _without(sheet, best)


def _without(sheet: Sheet, found: Headings) -> Headings:
    """Where only letters say what the columns hold, and the first row is a door already, there are
    no headings.
    """
    number = found.of("number")[0]
    row = sheet.rows[found.row - 1]
    first = row[number.place - 1].text if number.place <= len(row) else ""
    if number.how is not How.LETTER or not re.search(r"\d", first):
        return found
    bare = [replace(each, heading="", unit=None) for each in found.columns]
    return Headings(found.row - 1, tuple(bare))


def _may_be_headings(sheet: Sheet, rows: list[int]) -> bool:
    filled = [cell for cell in sheet.rows[rows[-1] - 1] if cell.text]
    return len({cell.text for cell in filled}) >= 2 or bool(sheet.headed)


def _score(sheet: Sheet, found: Headings, rows: list[int]) -> float:
    """How much a row looks like headings: the fields that it names. None without a number."""
    fields = {each.field for each in found.columns if each.how is not How.NONE}
    if "number" not in fields or len(fields) < 2:
        return 0
    if len(rows) > 1 and _is_door(sheet.rows[rows[-1] - 1], found):
        return 0
    if any(each.how is How.LETTER and each.field == "number" for each in found.columns):
        # the letters say it of every row: the first that could be one
        return 1 / found.row
    sure = sum(
        1.0 if each.how is not How.LIKE else 0.8
        for each in found.columns
        if each.how is not How.NONE
    )
    unknown = sum(each.how is How.NONE and bool(each.heading) for each in found.columns)
    # two rows make one only where that names more
    return sure - 0.1 * unknown - (0.5 if len(rows) > 1 else 0)


def _is_door(row: tuple[Cell, ...], found: Headings) -> bool:
    """Whether a row has a number where the door's number stands, so that it is no heading."""
    place = found.of("number")[0].place
    return place <= len(row) and bool(re.search(r"\d", row[place - 1].text))


def _read(
    sheet: Sheet, rows: list[int], said: Mapping[str, str], remembered: Mapping[str, str]
) -> Headings:
    width = max(len(row) for row in sheet.rows)
    columns = []
    for place in range(1, width + 1):
        heading = _heading(sheet, rows, place)
        below = any(place <= len(row) and row[place - 1].text for row in sheet.rows[rows[-1] :])
        if heading or below:
            columns.append(_surest(place, sheet, rows, said, remembered))
    return Headings(rows[-1], tuple(_told_apart(columns, sheet, rows[-1])))


def _surest(
    place: int,
    sheet: Sheet,
    rows: list[int],
    said: Mapping[str, str],
    remembered: Mapping[str, str],
) -> Column:
    """A column by the words of both rows of headings, else by those of one: "Vision" over "Panel",
    "Fire" over "FR (mins)".
    """
    whole = _column(place, _heading(sheet, rows, place), said, remembered)
    if len(rows) == 1 or whole.how not in (How.NONE, How.LIKE):
        return whole
    for number in reversed(rows):
        one = _column(place, _heading(sheet, [number], place), said, remembered)
        if one.how not in (How.NONE, How.LIKE):
            return replace(one, heading=whole.heading)
    return whole


def _heading(sheet: Sheet, rows: list[int], place: int) -> str:
    """The words over a column: of two rows both, "Leaf" over "Width"; not what is there twice."""
    words: list[str] = []
    for number in rows:
        row = sheet.rows[number - 1]
        text = row[place - 1].text if place <= len(row) else ""
        if text and text not in words:
            words.append(text)
    return " ".join(words)


def _column(
    place: int, heading: str, said: Mapping[str, str], remembered: Mapping[str, str]
) -> Column:
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
    """The field that a heading looks like, and by which words; "" for none."""
    if NOT_FIELDS & set(plain.split()):
        return "", ""
    for field, pattern in PATTERNS.items():
        if pattern.search(plain):
            return field, field.replace("_", " ")
    like = _alike(plain)
    return (_KNOWN[like][0], like) if like else ("", "")


def _alike(plain: str) -> str | None:
    """The name that a heading is a slip of, or that is most of it; None where there is none."""
    if len(plain) < 4:
        return None
    found = process.extractOne(
        plain, [name for name in _KNOWN if len(name) >= 4], scorer=fuzz.ratio, score_cutoff=ALIKE
    )
    if found:
        return str(found[0])
    words = plain.split()
    # "Fire rating of door", "Closer fitted": a name of two words in it, or all but one small word
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
    """The unit that a heading names, as a factor to millimetres or kilograms, and the heading
    without it: "Width (mm)" is (1.0, "Width").
    """
    found = re.search(r"[\(\[/,]\s*([A-Za-z]+)\.?\s*[\)\]]?\s*$", heading)
    found = found or re.search(r"[\s_](mm|cm|kg|inches|lbs?)\s*$", heading)
    word = found[1].lower() if found else ""
    factor = {**_UNITS, **_MASSES}.get(word)
    return (factor, heading[: found.start()].strip()) if found and factor else (None, heading)


def _told_apart(columns: list[Column], sheet: Sheet, row: int) -> list[Column]:
    """Of several columns that claim one field, the surest has it; the others are remarks."""
    kept: dict[int, Column] = {}
    for field in dict.fromkeys(each.field for each in columns):
        claims = [each for each in columns if each.field == field]
        if field in MANY or len(claims) == 1:
            kept.update({each.place: each for each in claims})
            continue
        first = min(
            claims,
            key=lambda each: (
                field == "number" and not _numbered(sheet, row, each.place),
                _rank(each),
                _blanks(sheet, row, each.place),
            ),
        )
        for each in claims:
            loses = each is not first
            kept[each.place] = (
                Column(each.place, each.heading, REMARKS, How.NONE, each.unit) if loses else each
            )
    return [kept[each.place] for each in columns]


def _rank(column: Column) -> int:
    if column.how in (How.SAID, How.LETTER, How.REMEMBERED):
        return -1
    name = column.like or plain_heading(unit_of(column.heading)[1])
    return _KNOWN[name][1] + (1000 if column.how is How.LIKE else 0) if name in _KNOWN else 2000


def _numbered(sheet: Sheet, row: int, place: int) -> bool:
    """Whether most of what stands in a column has a digit in it, as the numbers of doors do."""
    texts = [each[place - 1].text for each in sheet.rows[row:] if place <= len(each)]
    filled = [text for text in texts if text]
    return sum(bool(re.search(r"\d", text)) for text in filled) >= len(filled) / 2


def _blanks(sheet: Sheet, row: int, place: int) -> int:
    return sum(not (place <= len(each) and each[place - 1].text) for each in sheet.rows[row:])


def headless(name: str, sheet: Sheet) -> ScheduleError:
    """The error for a sheet in which no row of headings was found."""
    shown = next((row for row in sheet.rows if sum(bool(cell.text) for cell in row) > 1), ())
    first: list[Cell] = [cell for cell in shown if cell.text][:4]
    seen = ", ".join(f'{cell.name} "{cell.text[:30]}"' for cell in first)
    told = f" It has: {seen}." if first else ""
    return ScheduleError(
        f"{name}: no row of headings was found in the first {SEARCHED} rows: one that names the"
        f" number of the door and something else.{told} Say what a column holds, by its heading or"
        ' letter: --column "A=number" --column "C=rating".'
    )
