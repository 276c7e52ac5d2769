"""Converts a sheet row to a door of the register, with its recorded last check."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from pydantic import ValidationError

from doorround.domain.door import MAX_REMARKS, Door
from doorround.domain.plain_text import plain_line, plain_number
from doorround.domain.validation_errors import placed_error
from doorround.door_schedules.cells import Cell
from doorround.door_schedules.columns import Column, How
from doorround.door_schedules.dates import read_day_cell
from doorround.door_schedules.heading_words import REMARKS
from doorround.door_schedules.places import place_words, shortened
from doorround.door_schedules.sheet_doors import (
    CellDoubt,
    LeftRow,
    Options,
    RawRow,
    SheetRows,
    is_counter,
)
from doorround.door_schedules.values import read_cell, seals_of

_TEXTS = ("site", "building", "floor", "evidence")
_LIMITS = {"site": 80, "building": 80, "floor": 40, "evidence": 200}
MAX_NUMBER = 20
_SEVERAL = re.compile(r"[\w./-]*\d[\w./-]*(?:\s*(?:&|\+|,\s|\band\b)\s*[\w./-]+)+", re.I)
MAX_LEAF_MM = 1300
"""Anything wider is rarely one leaf of a pair (common practice, no source)."""


@dataclass(frozen=True)
class ScheduleDoor:
    """A door from the schedule. fields: those given, including remarks. cell: of its number.
    last_check: the local day of its last check before doorround; checked_by: who did it.
    """

    sheet: str
    row: int
    cell: str
    number: str
    fields: dict[str, Any]
    last_check: date | None = None
    checked_by: str = ""
    doubts: tuple[CellDoubt, ...] = ()


@dataclass
class _Reading:
    """What has been parsed of a row so far."""

    raw: RawRow
    fields: dict[str, Any] = field(default_factory=dict)
    marks: dict[str, bool] = field(default_factory=dict)
    remarks: list[str] = field(default_factory=list)
    doubts: list[CellDoubt] = field(default_factory=list)
    unsure: dict[str, Any] = field(default_factory=dict)
    not_rated: str = ""
    last_check: date | None = None
    checked_by: str = ""

    def doubt(self, column: Column, cell: Cell, why: str) -> None:
        self.doubts.append(CellDoubt(self.raw.sheet, cell.name, column.heading, cell.text, why))


def read_doors(rows: SheetRows, options: Options) -> tuple[list[ScheduleDoor], list[LeftRow]]:
    """The doors of a sheet, and the rows that cannot be entered."""
    found: list[ScheduleDoor] = []
    left: list[LeftRow] = list(rows.left)
    counters = {each.place for each in rows.headings.columns if is_counter(each, rows.doors)}
    for raw in rows.doors:
        try:
            number = _number(raw.number)
        except ValueError as error:
            left.append(_refused(raw, str(error)))
            continue
        reading = _Reading(raw)
        for column, cell in raw.cells:
            if column.place not in counters:
                _take(reading, column, cell, rows, options)
        _places(reading, options)
        _combine(reading)
        if reading.not_rated and not options.unrated:
            why = f'is not a fire door according to its schedule: "{reading.not_rated}"'
            left.append(_refused(raw, why, refused=False))
            continue
        found.append(_door(reading, number))
    return found, left


def _refused(raw: RawRow, why: str, refused: bool = True) -> LeftRow:
    return LeftRow(raw.sheet, raw.row, raw.number.name, raw.number.text, why, refused)


def _number(cell: Cell) -> str:
    if cell.day is not None:
        raise ValueError(
            f"is a date to the spreadsheet ({cell.day}), no door number. Make the column text, and"
            " type the number again"
        )
    number = plain_number(
        re.sub(r"^(?:fire )?door\s+(?:no\.?\s*|number\s+)?(?=\S)", "", cell.text, flags=re.I)
    )
    if re.fullmatch(r"#(?:N/A|REF!|VALUE!|NAME\?|DIV/0!|NULL!|NUM!)", number):
        raise ValueError("is an error of the spreadsheet, no door number")
    if _SEVERAL.fullmatch(number):
        raise ValueError("names several doors. Give each a row of its own")
    if len(number) > MAX_NUMBER:
        raise ValueError(f"is too long for a door number: at most {MAX_NUMBER} letters")
    return number


def _take(reading: _Reading, column: Column, cell: Cell, rows: SheetRows, options: Options) -> None:
    """Parse one cell of a row."""
    match column.field:
        case "number" | "place":
            return
        case "last_check":
            _day(reading, column, cell, rows, options)
        case "checked_by":
            reading.checked_by = plain_line(cell.text, "checked by")[:80]
        case name if name in _TEXTS:
            _text(reading, column, cell)
        case _ if column.field == REMARKS:
            known = column.how is not How.NONE
            head = column.heading or f"column {column.letters}"
            reading.remarks.append(cell.text if known else f"{head}: {cell.text}")
        case _:
            _value(reading, column, cell, rows)


def _text(reading: _Reading, column: Column, cell: Cell) -> None:
    limit = _LIMITS[column.field]
    before = reading.fields.get(column.field)
    text = f"{before}, {cell.text}" if before else cell.text
    if len(text) > limit:
        reading.doubt(column, cell, f"is longer than the {limit} letters of the register")
        reading.remarks.append(f"{column.heading}: {cell.text}")
    else:
        reading.fields[column.field] = text


def _day(reading: _Reading, column: Column, cell: Cell, rows: SheetRows, options: Options) -> None:
    try:
        text = cell.day.isoformat() if cell.day else cell.text
        found = read_day_cell(text, rows.order, options.today)
    except ValueError as error:
        reading.doubt(column, cell, str(error))
        reading.remarks.append(f"{column.heading}: {cell.text}")
        return
    reading.last_check = found.day
    if found.note:
        reading.doubt(column, cell, found.note)


def _value(reading: _Reading, column: Column, cell: Cell, rows: SheetRows) -> None:
    context = rows.contexts[column.place]
    read = read_cell(column.field, cell.text, column.heading, context)
    if read.doubt:
        reading.doubt(column, cell, read.doubt)
    if read.remark:
        reading.remarks.append(read.remark)
    if read.not_rated:
        reading.not_rated = f"{column.heading}: {cell.text}"
    reading.marks.update(read.marks)
    for name, value in read.fields.items():
        if column.field in ("type", "leaf_size"):
            reading.unsure.setdefault(name, (value, column, cell))
        else:
            reading.fields[name] = value


def _places(reading: _Reading, options: Options) -> None:
    raw = reading.raw
    place = place_words([(c, cell.text) for c, cell in raw.cells if c.field == "place"])
    if place:
        reading.fields["place"] = shortened(place)
        if len(place) > len(reading.fields["place"]):
            reading.remarks.append(f"Place: {place}")
    for name, text in {
        **{"site": options.site, "building": options.building},
        **raw.section,
    }.items():
        given = {"site": options.site, "building": options.building}.get(name)
        if name not in reading.fields and (given or text):
            reading.fields[name] = (given or text)[: _LIMITS[name]]
    if raw.under:
        reading.remarks.append(f"Under: {raw.under}")


def _combine(reading: _Reading) -> None:
    """Combines several columns: a rating and smoke, two columns of seals."""
    for name, (value, column, cell) in reading.unsure.items():
        before = reading.fields.setdefault(name, value)
        if name == "rating" and before != value:
            reading.doubt(column, cell, f"does not agree with its rating, {before}, which is taken")
    _with_smoke(reading)
    _leaf_of_a_pair(reading)
    if "seals" not in reading.fields and (seals := seals_of(reading.marks)) is not None:
        reading.fields["seals"] = seals
    elif ("seals" not in reading.fields and "smoke_seals" in reading.marks) or (
        "seals" not in reading.fields and any(c.field == "fire_seals" for c, _ in reading.raw.cells)
    ):
        for name in ("fire_seals", "smoke_seals"):
            if name in reading.marks:
                what = "Intumescent seals" if name == "fire_seals" else "Smoke seals"
                reading.remarks.append(f"{what}: {'yes' if reading.marks[name] else 'no'}")


def _leaf_of_a_pair(reading: _Reading) -> None:
    """A width beyond that of any leaf is that of both leaves."""
    width = reading.fields.get("leaf_width_mm", 0)
    if reading.fields.get("leaves") != "pair" or width <= MAX_LEAF_MM:
        return
    for column, cell in reading.raw.cells:
        if column.field in ("leaf_width_mm", "leaf_size"):
            reading.doubt(column, cell, "is wider than one leaf: is it of both leaves?")
            reading.remarks.append(f"{column.heading}: {cell.text}")
            del reading.fields["leaf_width_mm"]
            return


def _with_smoke(reading: _Reading) -> None:
    smoke, rating = reading.marks.get("smoke"), reading.fields.get("rating")
    if smoke is None:
        return
    cell = next(each for each in reading.raw.cells if each[0].field == "smoke")
    if rating and smoke and re.fullmatch(r"FD\d+|\d+ min", rating):
        reading.fields["rating"] = f"{rating}S" if rating.startswith("FD") else f"{rating} S"
    elif rating and smoke is False and rating.endswith("S"):
        reading.doubt(*cell, f"does not agree with its rating, {rating}, which is taken")
        reading.remarks.append(f"{cell[0].heading}: {cell[1].text}")
    elif smoke and not (rating and "-S" in rating):
        reading.remarks.append(f"{cell[0].heading}: {cell[1].text}")


def _door(reading: _Reading, number: str) -> ScheduleDoor:
    raw = reading.raw
    fields = dict(reading.fields)
    remarks = "; ".join(dict.fromkeys(each for each in reading.remarks if each))
    if len(remarks) > MAX_REMARKS:
        why = f"the remarks are longer than {MAX_REMARKS} letters: cut"
        reading.doubts.append(CellDoubt(raw.sheet, raw.number.name, "remarks", remarks[:60], why))
        remarks = remarks[: MAX_REMARKS - 1] + "…"
    if remarks:
        fields["remarks"] = remarks
    while True:
        try:
            door = Door.model_validate({"number": number, **fields})
            break
        except ValidationError as error:
            name, error_words = placed_error(error)
            text = str(fields.pop(name.partition(".")[0]))
            reading.doubts.append(CellDoubt(raw.sheet, raw.number.name, name, text, error_words))
    dumped = {**door.model_dump(mode="json"), "rating": door.rating and door.rating.text}
    register_fields = {
        name: value for name, value in dumped.items() if name in fields and name != "number"
    }
    return ScheduleDoor(
        raw.sheet,
        raw.row,
        raw.number.name,
        number,
        register_fields,
        reading.last_check,
        reading.checked_by if reading.last_check else "",
        tuple(reading.doubts),
    )
