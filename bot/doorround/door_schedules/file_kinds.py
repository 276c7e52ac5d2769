"""Detects the file type by content, not by name."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

from doorround.door_schedules.cells import ScheduleError, Sheet
from doorround.door_schedules.cobie import cobie_sheet
from doorround.door_schedules.csv_source import MAX_BYTES, read_csv
from doorround.door_schedules.ifc_source import read_ifc
from doorround.door_schedules.xlsx_source import read_xlsx

_OLD_EXCEL = b"\xd0\xcf\x11\xe0"
_NOT_TABLES = {b"%PDF": "a PDF", b"\x89PNG": "a picture", b"\xff\xd8\xff": "a picture"}


def read_sheets(path: Path) -> list[Sheet]:
    """The sheets of a door schedule. Raises ScheduleError or OSError if it cannot be read."""
    if path.stat().st_size > MAX_BYTES * 10:
        raise ScheduleError(f"{path.name} is larger than any door schedule. Is it the right file?")
    content = path.read_bytes()
    for start, what in _NOT_TABLES.items():
        if content.startswith(start):
            raise ScheduleError(
                f"{path.name} is {what}. Ask for the schedule as .xlsx or .csv, or copy its table"
                " into a spreadsheet and save that."
            )
    if content.startswith(_OLD_EXCEL):
        raise ScheduleError(
            f"{path.name} is an old Excel file (.xls), or one locked by a password. Open it, take"
            " the password off, and save it as .xlsx."
        )
    if content.lstrip()[:12] == b"ISO-10303-21":
        return [read_ifc(path)]
    if content.startswith(b"PK"):
        return _zipped(path.name, content)
    if not content.strip():
        raise ScheduleError(f"{path.name} is empty.")
    if len(content) > MAX_BYTES:
        raise ScheduleError(f"{path.name} is larger than any door schedule. Is it the right file?")
    return [read_csv(path.name, content)]


def _zipped(name: str, content: bytes) -> list[Sheet]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            names = archive.namelist()
            packed = sum(each.file_size for each in archive.infolist())
    except (zipfile.BadZipFile, NotImplementedError, ValueError, OSError) as error:
        raise ScheduleError(f"{name} is damaged ({error}). Ask for it again.") from error
    if packed > MAX_BYTES * 20:
        raise ScheduleError(f"{name} unpacks to {packed // 1_000_000} MB. Is it the right file?")
    if "xl/workbook.xml" not in names:
        what = "an OpenDocument sheet" if "mimetype" in names else "an archive"
        raise ScheduleError(f"{name} is {what}, no Excel workbook. Save the schedule as .xlsx.")
    sheets = read_xlsx(name, content)
    cobie = cobie_sheet(sheets)
    return [cobie] if cobie else sheets
