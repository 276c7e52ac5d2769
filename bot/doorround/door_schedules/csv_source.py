"""Reads CSV from spreadsheets, databases and people: any delimiter, any common encoding."""

from __future__ import annotations

import csv
import io
from collections import Counter

from doorround.door_schedules.cells import Cell, ScheduleError, Sheet, cell_text, sheet_of

DELIMITERS = ",;\t|"
MAX_BYTES = 20_000_000


def read_csv(name: str, content: bytes) -> Sheet:
    """A CSV file as a sheet. Raises ScheduleError if it is not text."""
    text = decoded(name, content)
    first, _, rest = text.partition("\n")
    stated = None
    if first.strip().lower().startswith("sep=") and len(first.strip()) == 5:
        stated, text = first.strip()[4], rest
    offset = 1 if stated else 0
    rows: list[list[Cell]] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=stated or _delimiter(text))
    try:
        for fields in reader:
            line = len(rows) + 1 + offset
            rows.append([Cell(cell_text(each), line, n + 1) for n, each in enumerate(fields)])
    except csv.Error as error:
        raise ScheduleError(
            f"{name}, line {reader.line_num}: {error}. Save it again as CSV."
        ) from error
    return sheet_of("", rows)


def decoded(name: str, content: bytes) -> str:
    """Decode a file: UTF-16 and UTF-8 by BOM, otherwise UTF-8 if valid, otherwise Windows-1252, in
    which British and American spreadsheets write CSV. Raises ScheduleError if it is not text.
    """
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace").lstrip("\ufeff")
    for order, start in (("utf-16-le", 1), ("utf-16-be", 0)):
        # no BOM: in UTF-16, every second byte of plain English is zero
        every_second, others = content[start:200:2], content[1 - start : 200 : 2]
        if every_second.count(b"\0") > 0.8 * len(every_second) and b"\0" not in others:
            return content.decode(order, errors="replace")
    if b"\0" in content[:4096]:
        raise ScheduleError(f"{name} is neither text nor a spreadsheet. Save it as .xlsx or .csv.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def _delimiter(text: str) -> str:
    """The delimiter: the character that gives most rows the same number of fields, more
    than one.
    """
    best, most = ",", (0, 0)
    sample = text[:20_000]
    for sign in DELIMITERS:
        try:
            rows = list(csv.reader(io.StringIO(sample, newline=""), delimiter=sign))
        except csv.Error:
            continue
        widths = Counter(len(row) for row in rows if len(row) > 1)
        if widths:
            width, count = widths.most_common(1)[0]
            best, most = max((best, most), (sign, (count, width)), key=lambda each: each[1])
    return best
