"""Finds the heading row."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from doorround.door_schedules.cells import Cell, ScheduleError, Sheet
from doorround.door_schedules.columns import Column, How, rank_of, read_column
from doorround.door_schedules.heading_words import FIELDS, REMARKS

SEARCHED = 40
"""Rows searched for headings: titles, addresses and revisions come above them."""
MANY = ("place", "remarks", "type", "evidence", "site")
"""Fields that several columns may fill together."""


@dataclass(frozen=True)
class Headings:
    """The headings of a sheet. row: from 1; the last one, if two rows are combined. columns: those
    with a heading or any content below.
    """

    row: int
    columns: tuple[Column, ...]

    def of(self, field: str) -> list[Column]:
        """The columns of a field, from the left."""
        return [each for each in self.columns if each.field == field]


def find_headings(
    sheet: Sheet, said: Mapping[str, str], remembered: Mapping[str, str]
) -> Headings | None:
    """The headings of a sheet, None if no row names a door's number and something else.

    said, remembered: fields by normalised heading or by column letter. Raises ScheduleError for an
    unknown field.
    """
    for name in said.values():
        if name not in FIELDS:
            raise ScheduleError(f'"{name}" is not a field. Use one of: {", ".join(FIELDS)}.')
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
    """If the columns are given only by letter, and the first row is already a door, there are no
    headings.
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
    """Score of a row as headings: the fields that it names. None without a number."""
    fields = {each.field for each in found.columns if each.how is not How.NONE}
    if "number" not in fields or len(fields) < 2:
        return 0
    if len(rows) > 1 and _is_door(sheet.rows[rows[-1] - 1], found):
        return 0
    if any(each.how is How.LETTER and each.field == "number" for each in found.columns):
        # with letters every row scores alike: take the first candidate
        return 1 / found.row
    sure = sum(
        1.0 if each.how is not How.LIKE else 0.8
        for each in found.columns
        if each.how is not How.NONE
    )
    unknown = sum(each.how is How.NONE and bool(each.heading) for each in found.columns)
    # two rows are combined only if that identifies more fields
    return sure - 0.1 * unknown - (0.5 if len(rows) > 1 else 0)


def _is_door(row: tuple[Cell, ...], found: Headings) -> bool:
    """Whether a row has a value in the number column, so it is not a heading."""
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
    return Headings(rows[-1], tuple(_named_apart(columns, sheet, rows[-1])))


def _surest(
    place: int,
    sheet: Sheet,
    rows: list[int],
    said: Mapping[str, str],
    remembered: Mapping[str, str],
) -> Column:
    """A column by the words of both heading rows, or else by those of one: "Vision" over "Panel",
    "Fire" over "FR (mins)".
    """
    whole = read_column(place, _heading(sheet, rows, place), said, remembered)
    if len(rows) == 1 or whole.how not in (How.NONE, How.LIKE):
        return whole
    for number in reversed(rows):
        one = read_column(place, _heading(sheet, [number], place), said, remembered)
        if one.how not in (How.NONE, How.LIKE):
            return replace(one, heading=whole.heading)
    return whole


def _heading(sheet: Sheet, rows: list[int], place: int) -> str:
    """The words over a column: both of two rows, "Leaf" over "Width"; without repetition."""
    words: list[str] = []
    for number in rows:
        row = sheet.rows[number - 1]
        text = row[place - 1].text if place <= len(row) else ""
        if text and text not in words:
            words.append(text)
    return " ".join(words)


def _named_apart(columns: list[Column], sheet: Sheet, row: int) -> list[Column]:
    """If several columns claim one field, the most certain one gets it; the others are remarks."""
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
                rank_of(each),
                _blanks(sheet, row, each.place),
            ),
        )
        for each in claims:
            loses = each is not first
            kept[each.place] = (
                Column(each.place, each.heading, REMARKS, How.NONE, each.unit) if loses else each
            )
    return [kept[each.place] for each in columns]


def _numbered(sheet: Sheet, row: int, place: int) -> bool:
    """Whether most values in a column contain a digit, as door numbers do."""
    texts = [each[place - 1].text for each in sheet.rows[row:] if place <= len(each)]
    filled = [text for text in texts if text]
    return sum(bool(re.search(r"\d", text)) for text in filled) >= len(filled) / 2


def _blanks(sheet: Sheet, row: int, place: int) -> int:
    return sum(not (place <= len(each) and each[place - 1].text) for each in sheet.rows[row:])


def headless(name: str, sheet: Sheet) -> ScheduleError:
    """The error for a sheet without a recognisable heading row."""
    shown = next((row for row in sheet.rows if sum(bool(cell.text) for cell in row) > 1), ())
    first: list[Cell] = [cell for cell in shown if cell.text][:4]
    seen = ", ".join(f'{cell.name} "{cell.text[:30]}"' for cell in first)
    has = f" It has: {seen}." if first else ""
    return ScheduleError(
        f"{name}: no row of headings was found in the first {SEARCHED} rows: one that names the"
        f" number of the door and something else.{has} Say what a column holds, by its heading or"
        ' letter: --column "A=number" --column "C=rating".'
    )
