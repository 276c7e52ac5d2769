"""One file parsed as a door schedule: its sheets, their headings, their doors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from doorround.door_schedules.cells import ScheduleError, Sheet
from doorround.door_schedules.columns import plain_heading
from doorround.door_schedules.door_rows import ScheduleDoor, read_doors
from doorround.door_schedules.file_kinds import read_sheets
from doorround.door_schedules.headings import Headings, find_headings, headless
from doorround.door_schedules.sheet_doors import LeftRow, Options, split_rows


@dataclass(frozen=True)
class ReadSheet:
    """A sheet with doors. notes: assumptions made."""

    name: str
    headings: Headings
    notes: tuple[str, ...]


@dataclass(frozen=True)
class Schedule:
    """A file. sheets: those read. skipped: those without door headings, by name."""

    file: str
    sheets: tuple[ReadSheet, ...]
    skipped: tuple[str, ...]
    doors: tuple[ScheduleDoor, ...]
    left: tuple[LeftRow, ...]


def read_schedule(
    path: Path,
    options: Options,
    columns: Mapping[str, str],
    remembered: Mapping[str, str],
    only: str | None = None,
) -> Schedule:
    """Read a door schedule. columns: fields by heading or letter, as given by the user; remembered:
    by normalised heading. only: the one sheet to read. Raises ScheduleError or OSError.
    """
    sheets = _chosen(path.name, read_sheets(path), only)
    said = {plain_heading(name): field for name, field in columns.items()}
    read: list[ReadSheet] = []
    skipped: list[str] = []
    doors: list[ScheduleDoor] = []
    left: list[LeftRow] = []
    for sheet in sheets:
        headings = find_headings(sheet, said, remembered) if sheet.rows else None
        if headings is None:
            skipped.append(sheet.name)
            continue
        rows = split_rows(sheet, headings, options)
        found, none = read_doors(rows, options)
        read.append(ReadSheet(sheet.name, headings, rows.notes))
        doors += found
        left += none
    if not read:
        filled = next((sheet for sheet in sheets if sheet.rows), None)
        if filled is None:
            raise ScheduleError(f"{path.name} is empty.")
        raise headless(path.name, filled)
    return Schedule(path.name, tuple(read), tuple(skipped), tuple(doors), tuple(left))


def _chosen(file: str, sheets: list[Sheet], only: str | None) -> list[Sheet]:
    if only is None:
        return sheets
    found = [sheet for sheet in sheets if sheet.name.casefold() == only.casefold()]
    if not found:
        names = ", ".join(f'"{sheet.name}"' for sheet in sheets)
        raise ScheduleError(f'{file} has no sheet "{only}". It has: {names}.')
    return found
