"""The doors of a sheet, row by row, with everything that was not understood."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from doorround.door_schedules.cells import Cell, Sheet
from doorround.door_schedules.columns import Column, How, plain_heading
from doorround.door_schedules.dates import DateOrder, order_of
from doorround.door_schedules.headings import Headings
from doorround.door_schedules.places import filled_down, of_section, of_sheet
from doorround.door_schedules.values import Context, ReadWords
from doorround.door_schedules.yes_no import x_means

_DITTO = {'"', "''", "”", "“", "〃", "do", "do.", "ditto", '-"-', "as above", '" "', "″"}
_TOTAL = re.compile(
    r"(?:grand |sub)?-? ?totals?\b.*|count\b.*|notes?:?\b.*|key:?|legend:?.*"
    r"|page \d+.*|end of .*|\*.*|prepared by.*|revision.*|rev .*|drawn by.*",
    re.I,
)
_SURVEYED = re.compile(r"\b(?:survey|inspect|check)(?:ed|s|ion)?\b", re.I)
_WORD = re.compile(r"(?!(?:fire ?)?doors?\b)[^\W\d_]{4,}", re.I)
_COUNTERS = {
    "item",
    "item no",
    "no",
    "#",
    "row",
    "s no",
    "sr no",
    "sl no",
    "serial",
    "nr",
    "line",
    "row no",
    "num",
    "index",
}
GROUPS = ("site", "building", "floor")


@dataclass(frozen=True)
class CellDoubt:
    """A cell that was not understood: cell, heading and reason. The door is entered without it, and
    it goes into the remarks.
    """

    sheet: str
    cell: str
    heading: str
    text: str
    why: str


@dataclass(frozen=True)
class RawRow:
    """One door from its cells. cells: by column. section: the section row above it."""

    sheet: str
    row: int
    number: Cell
    cells: tuple[tuple[Column, Cell], ...]
    section: Mapping[str, str]
    under: str = ""


@dataclass(frozen=True)
class LeftRow:
    """A row that is not a door, or cannot be entered. refused: it looks like a door."""

    sheet: str
    row: int
    cell: str
    text: str
    why: str
    refused: bool = False


@dataclass(frozen=True)
class SheetRows:
    """The rows of a sheet. contexts: how to parse each column. order: of dates. notes: assumptions
    about the whole sheet.
    """

    doors: tuple[RawRow, ...]
    left: tuple[LeftRow, ...]
    contexts: Mapping[int, Context]
    order: DateOrder
    headings: Headings
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Options:
    """site, building: for doors whose file names none. today: the local day. month_first: date
    order, None to infer it from the file. said: the talk's understanding of words.
    """

    today: date
    site: str = ""
    building: str = ""
    month_first: bool | None = None
    said: ReadWords | None = None
    unrated: bool = False
    given: Mapping[str, Any] = field(default_factory=dict)


def split_rows(sheet: Sheet, headings: Headings, options: Options) -> SheetRows:
    """Split a sheet's rows into doors and others."""
    notes = [*_survey_dates(sheet, headings)]
    body = _without_dittos(sheet.rows[headings.row :])
    if not sheet.headed:
        body = _filled(body, headings, notes)
    doors: list[RawRow] = []
    left: list[LeftRow] = []
    section = of_sheet(sheet, headings.row)
    under = ""
    [number] = headings.of("number")[:1]
    worded = _worded(body, number.place)
    for row in body:
        filled = [cell for cell in row if cell.text]
        if not filled or _is_heading(row, headings):
            continue
        at = row[number.place - 1] if number.place <= len(row) else None
        alone = len({cell.text for cell in filled}) == 1
        if alone and (at is None or not at.text or at.spread or is_section(at.text, worded)):
            place = of_section(filled[0].text)
            if place or not _TOTAL.fullmatch(filled[0].text):
                section = {**section, **place}
                under = "" if place else filled[0].text
                if under:
                    left.append(_no_door(sheet.name, row, filled, _holds(filled[0], headings)))
                continue
        few = len(filled) <= 3 and _TOTAL.fullmatch(filled[0].text)
        if at is None or not at.text or few or _TOTAL.fullmatch(at.text):
            left.append(_no_door(sheet.name, row, filled, not few))
            continue
        cells = tuple(
            (column, row[column.place - 1])
            for column in headings.columns
            if column.place <= len(row) and row[column.place - 1].text
        )
        doors.append(RawRow(sheet.name, at.row, at, cells, section, under))
    order = _order(doors, headings, options, notes)
    contexts = {each.place: _context(each, doors, options) for each in headings.columns}
    return SheetRows(tuple(doors), tuple(left), contexts, order, headings, tuple(notes))


def _survey_dates(sheet: Sheet, headings: Headings) -> Iterator[str]:
    """A line for each survey date above the headings, if no column has last checks: it is not known
    that every door was looked at then.
    """
    if headings.of("last_check"):
        return
    for row in sheet.rows[: headings.row - 1]:
        text = " ".join(cell.text for cell in row if cell.text and not cell.spread)
        if _SURVEYED.search(text) and re.search(r"\d{2}", text):
            yield (
                f'Row {row[0].row} says "{text[:80]}". It is not taken for the last check of each'
                ' door. If it is: give the sheet a column "Last check".'
            )


def is_section(text: str, worded: bool = True) -> bool:
    """Whether a lone cell in the number column is a title: "Ground Floor", or "Corridors" if no
    door is named by a word. worded: whether doors are.
    """
    title = bool(_WORD.match(text)) and not worded
    return bool(of_section(text)) or (len(text) > 20 and " " in text) or title


def _worded(rows: list[tuple[Cell, ...]], place: int) -> bool:
    """Whether any door with further data is named by a word: "Vestry", "Lobby 2"."""
    filled = (row for row in rows if len({cell.text for cell in row if cell.text}) > 1)
    return any(place <= len(row) and _WORD.match(row[place - 1].text) for row in filled)


def is_counter(column: Column, doors: tuple[RawRow, ...]) -> bool:
    """Whether a column merely numbers the rows, so that nothing is lost without it."""
    if column.how is not How.NONE or plain_heading(column.heading) not in _COUNTERS:
        return False
    texts = [cell.text for each in doors for of, cell in each.cells if of == column]
    return all(text.isdigit() for text in texts) and len(set(texts)) == len(texts)


def _holds(cell: Cell, headings: Headings) -> bool:
    """Whether a lone cell indicates a door with a missing number: a rating does, a title or a
    remark does not.
    """
    fields = {each.place: each.field for each in headings.columns}
    field = fields.get(cell.column, "")
    return cell.column > 1 and field not in ("", "number", "place", "remarks")


def _no_door(sheet: str, row: tuple[Cell, ...], filled: list[Cell], door: bool = True) -> LeftRow:
    text = " | ".join(cell.text for cell in filled)[:120]
    refused = door and not _TOTAL.fullmatch(filled[0].text)
    why = "names no door number" if refused else "is not a door: a total, a title or a note"
    return LeftRow(sheet, row[0].row, filled[0].name, text, why, refused)


def _is_heading(row: tuple[Cell, ...], headings: Headings) -> bool:
    """Whether the headings are repeated, as on each page of a printed list."""
    said = {each.place: each.heading for each in headings.columns if each.heading}
    same = sum(cell.text == said.get(place) for place, cell in enumerate(row, 1) if cell.text)
    return same >= 2 and same >= sum(bool(cell.text) for cell in row) / 2


def _without_dittos(rows: tuple[tuple[Cell, ...], ...]) -> list[tuple[Cell, ...]]:
    """Rows with ditto marks replaced by the cell above."""
    found: list[tuple[Cell, ...]] = []
    above: dict[int, Cell] = {}
    for row in rows:
        kept = []
        for place, cell in enumerate(row):
            if cell.text.casefold() in _DITTO and place in above:
                cell = Cell(above[place].text, cell.row, cell.column, above[place].day, at=cell.at)
            if cell.text:
                above[place] = cell
            kept.append(cell)
        found.append(tuple(kept))
    return found


def _filled(
    rows: list[tuple[Cell, ...]], headings: Headings, notes: list[str]
) -> list[tuple[Cell, ...]]:
    """Rows with a floor or building that is named once for several doors filled in for each."""
    [number] = headings.of("number")[:1]
    at = number.place - 1
    doors = [
        n
        for n, row in enumerate(rows)
        if at < len(row) and row[at].text and not _TOTAL.fullmatch(row[at].text)
    ]
    for column in (each for name in GROUPS for each in headings.of(name)):
        place = column.place - 1
        texts = [rows[n][place].text if place < len(rows[n]) else "" for n in doors]
        down = filled_down(texts)
        if down is None or down == texts:
            continue
        notes.append(f'"{column.heading}" is named once for several doors, and stands for each.')
        for door, text in zip(doors, down, strict=True):
            row = list(rows[door])
            row += [Cell("", row[0].row, n + 1) for n in range(len(row), place + 1)]
            row[place] = Cell(text, row[0].row, place + 1)
            rows[door] = tuple(row)
    return rows


def _order(
    doors: list[RawRow], headings: Headings, options: Options, notes: list[str]
) -> DateOrder:
    """The date format of the sheet."""
    if options.month_first is not None:
        return DateOrder.MONTH_FIRST if options.month_first else DateOrder.DAY_FIRST
    places = {each.place for each in headings.of("last_check")}
    texts = [
        cell.text
        for each in doors
        for column, cell in each.cells
        if column.place in places and cell.day is None
    ]
    order, shown = order_of(texts)
    if not shown and any(
        re.fullmatch(r"\d{1,2}[./-]\d{1,2}[./-]\d{2,4}.*", text) for text in texts
    ):
        notes.append(
            "Days are read with the day first: 11/05 is 11 May. If the month comes first:"
            " --month-first."
        )
    return order


def _context(column: Column, doors: list[RawRow], options: Options) -> Context:
    texts = [cell.text for each in doors for of, cell in each.cells if of == column]
    return Context(
        unit=column.unit,
        x=x_means(texts),
        pairs="pairs" in plain_heading(column.heading).split(),
        said=options.said,
    )
