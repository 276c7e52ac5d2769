"""Reads Excel workbooks as values: merged cells spread, dates as days, numbers as displayed."""

from __future__ import annotations

import io
import re
import warnings
from datetime import date, datetime, time
from typing import Any

from doorround.door_schedules.cells import Cell, ScheduleError, Sheet, cell_text, sheet_of

MAX_ROWS = 20_000
MAX_COLUMNS = 200


def read_xlsx(name: str, content: bytes) -> list[Sheet]:
    """The sheets of a workbook, without hidden ones and charts. Raises ScheduleError for a file
    that is not a workbook, is damaged, or is password-protected.
    """
    import openpyxl

    try:
        with warnings.catch_warnings():
            # from drop-down lists and styles, which contain no data
            warnings.simplefilter("ignore")
            workbook = openpyxl.load_workbook(io.BytesIO(content), data_only=True)
            shown = [sheet for sheet in workbook.worksheets if sheet.sheet_state == "visible"]
            return [_sheet(sheet) for sheet in shown]
    except Exception as error:  # openpyxl raises all kinds of errors on a damaged workbook
        raise ScheduleError(
            f"{name} cannot be read as a workbook ({error}). Open it and save it as .xlsx again."
        ) from error


def _sheet(sheet: Any) -> Sheet:
    spread = _merged(sheet)
    rows = []
    last_row, last_column = min(sheet.max_row, MAX_ROWS), min(sheet.max_column, MAX_COLUMNS)
    for number, row in enumerate(sheet.iter_rows(max_row=last_row, max_col=last_column), 1):
        cells = []
        for place, cell in enumerate(row, 1):
            source = spread.get((number, place))
            cells.append(_cell(source or cell, number, place, source is not None))
        rows.append(cells)
    return sheet_of(str(sheet.title), rows)


def _merged(sheet: Any) -> dict[tuple[int, int], Any]:
    """For each cell of a merged range except the first: the first, whose value it shows."""
    found = {}
    for box in sheet.merged_cells.ranges:
        first = sheet.cell(box.min_row, box.min_col)
        for row in range(box.min_row, min(box.max_row, MAX_ROWS) + 1):
            for column in range(box.min_col, min(box.max_col, MAX_COLUMNS) + 1):
                if (row, column) != (box.min_row, box.min_col):
                    found[row, column] = first
    return found


def _cell(cell: Any, row: int, column: int, spread: bool) -> Cell:
    text, day = _shown(cell.value, str(cell.number_format or ""))
    return Cell(cell_text(text), row, column, day, spread)


def _shown(value: Any, format: str) -> tuple[str, date | None]:
    match value:
        case None:
            return "", None
        case bool():
            return ("yes" if value else "no"), None
        case datetime():
            return value.date().isoformat(), value.date()
        case date():
            return value.isoformat(), value
        case time():
            return value.isoformat("minutes"), None
        case int():
            return _padded(str(value), format), None
        case float():
            return _number(value, format), None
    return str(value), None


def _number(value: float, format: str) -> str:
    """A number as displayed: 1.1 in a column of "0.00" is door 1.10."""
    if "%" in format:
        return f"{value * 100:g}%"
    if decimals := re.fullmatch(r"0\.(0+)", format):
        return f"{value:.{len(decimals[1])}f}"
    if value.is_integer() and abs(value) < 1e15:
        return _padded(str(int(value)), format)
    return f"{value:.10g}"


def _padded(digits: str, format: str) -> str:
    """12 in a column of "000" is door 012."""
    return digits.zfill(len(format)) if re.fullmatch("0{2,10}", format) else digits
