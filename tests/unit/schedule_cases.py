"""A door schedule to be read, and what is to come of it; how its workbook is written."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.worksheet.worksheet import Worksheet

# Excel's times have no zone
CHECKED = datetime(2026, 5, 11, 9, 30)  # noqa: DTZ001
DAY_MADE_OF_1_2 = datetime(2026, 2, 1)  # noqa: DTZ001
TO_COME = datetime(2027, 5, 11)  # noqa: DTZ001
Doors = dict[str, dict[str, Any]]


@dataclass(frozen=True)
class Case:
    """One file. doors: what must be read, by number; a field with None must not be. last: the last
    checks. doubts: cells that must be told as not understood, and no others. refused: cells of rows
    that must be refused; left: of rows that are no door.
    """

    file: str
    content: bytes
    doors: Doors
    last: dict[str, str] = field(default_factory=dict)
    doubts: tuple[str, ...] = ()
    refused: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    said: dict[str, str] = field(default_factory=dict)


def workbook(fill: Callable[[Workbook], None]) -> bytes:
    workbook = Workbook()
    fill(workbook)
    saved = io.BytesIO()
    workbook.save(saved)
    return saved.getvalue()


def one_sheet(name: str, fill: Callable[[Worksheet], None]) -> bytes:
    def filled(workbook: Workbook) -> None:
        sheet = workbook.active
        assert isinstance(sheet, Worksheet)
        sheet.title = name
        fill(sheet)

    return workbook(filled)


def put(sheet: Worksheet, *rows: tuple[Any, ...]) -> None:
    for row in rows:
        sheet.append(row)


def cells(line: str, *more: Any) -> tuple[Any, ...]:
    """A row of a sheet, written with | between its cells; numbers are numbers. more: cells."""
    found = (each.strip() for each in line.split("|"))
    return (*(float(each) if re.fullmatch(r"\d+(\.\d+)?", each) else each for each in found), *more)
