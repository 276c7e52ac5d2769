"""Listings: a table on a terminal, aligned plain columns in a pipe, JSON lines for programs."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import typer

from doorround.domain.plain_text import shown

GAP = "  "
"""Column separator in a pipe."""
DEFAULT_WIDTH = 80
"""Columns of a terminal that does not report its width."""


@dataclass(frozen=True)
class Row:
    """One line of a listing. data: for programs. cells: for people, one per title. urgent:
    highlighted.
    """

    data: Mapping[str, Any]
    cells: tuple[str, ...]
    urgent: bool = False


def show_listing(
    titles: Sequence[str],
    rows: Iterable[Row],
    as_json: bool = False,
    empty: str = "",
    notes: Iterable[str] = (),
) -> None:
    """Print rows under titles. empty: what to say if there are none. notes: lines after them, not
    in JSON.
    """
    if as_json:
        for row in rows:
            typer.echo(json.dumps(row.data, ensure_ascii=False))
        return
    found = list(rows)
    if found and sys.stdout.isatty():
        _show_table(titles, found)
    else:
        for line in plain_lines(found):
            typer.echo(line)
    if not found and empty:
        typer.echo(empty)
    for note in notes:
        typer.echo(note)


def plain_lines(rows: Sequence[Row]) -> list[str]:
    """Rows as text without titles: each column as wide as its widest cell, empty ones left out."""
    columns = [column for column in zip(*map(_cells, rows), strict=True) if any(column)]
    cells = list(zip(*columns, strict=True))
    widths = [max(map(len, column)) for column in columns]
    return [
        GAP.join(each.ljust(width) for each, width in zip(row, widths, strict=True)).rstrip()
        for row in cells
    ]


def _cells(row: Row) -> tuple[str, ...]:
    return tuple(shown(" ".join(each.split()), "") for each in row.cells)


def _show_table(titles: Sequence[str], rows: Sequence[Row]) -> None:
    # takes a tenth of a second to load, and is useless in a pipe
    from rich import box
    from rich.console import Console
    from rich.table import Table
    from rich.text import Text

    # avoid rich's own colours: control characters are escaped, except for these
    table = Table(box=box.SIMPLE_HEAD, header_style="bold", pad_edge=False, show_edge=False)
    cells = [_cells(row) for row in rows]
    used = [place for place in range(len(titles)) if any(row[place] for row in cells)]
    for place in used:
        table.add_column(Text(titles[place]), overflow="fold")
    for row, texts in zip(rows, cells, strict=True):
        style = "red" if row.urgent else ""
        table.add_row(*(Text(texts[place], style=style) for place in used))
    width = shutil.get_terminal_size((DEFAULT_WIDTH, 24)).columns
    Console(file=sys.stdout, width=width, highlight=False, emoji=False).print(table)
