"""A file as sheets of cells, independent of format."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from doorround.domain.plain_text import plain_line


class ScheduleError(ValueError):
    """A file cannot be read as a door schedule. Says why, and what to do."""


@dataclass(frozen=True)
class Cell:
    """A cell as displayed. text: on one line, "" for an empty one. row, column: from 1. day: if the
    spreadsheet holds a date. spread: repeats the first cell of a merged range. at: its own
    location, if elsewhere.
    """

    text: str
    row: int
    column: int
    day: date | None = None
    spread: bool = False
    at: str = ""

    @property
    def name(self) -> str:
        """Spreadsheet address: "C7"; with its sheet if the row combines several."""
        return self.at or f"{column_letters(self.column)}{self.row}"


class Sheet(NamedTuple):
    """One sheet. rows: each up to its last non-empty cell. headed: the row of its headings, from 1,
    if defined by the format.
    """

    name: str
    rows: tuple[tuple[Cell, ...], ...]
    headed: int | None = None


def column_letters(column: int) -> str:
    """The name of a column: 1 is A, 27 is AA."""
    letters = ""
    while column > 0:
        column, place = divmod(column - 1, 26)
        letters = chr(ord("A") + place) + letters
    return letters


def cell_text(text: str) -> str:
    """A cell's display text, on one line. Invisible characters are removed: pasted text is full of
    them, never intentionally.
    """
    seen = "".join(sign if sign.isprintable() or sign in "\n\r\t" else "" for sign in text)
    return plain_line(seen.replace("\u00a0", " "), "cell")


def sheet_of(name: str, rows: list[list[Cell]], headed: int | None = None) -> Sheet:
    """A sheet of rows, without trailing empty cells and rows."""
    kept = []
    for row in rows:
        last = max((place for place, cell in enumerate(row) if cell.text), default=-1)
        kept.append(tuple(row[: last + 1]))
    while kept and not kept[-1]:
        kept.pop()
    return Sheet(name, tuple(kept), headed)


def taken_from(sheet: str, cell: Cell, row: int, column: int) -> Cell:
    """A cell of another sheet, in a combined row; it keeps its own address."""
    return replace(cell, row=row, column=column, at=f"{sheet} {cell.name}")
