"""Whatever a file holds, reading it ends in doors or in one line that says what to do; and no row
and no word of a schedule is dropped without a word.
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from schedule_cases import Case
from schedules import CASES
from schedules_mended import MENDED
from schedules_unseen import UNSEEN
from test_schedules import TODAY

from doorround.door_schedules.cells import ScheduleError
from doorround.door_schedules.columns import How
from doorround.door_schedules.file_kinds import read_sheets
from doorround.door_schedules.heading_words import REMARKS
from doorround.door_schedules.headings import find_headings, headless
from doorround.door_schedules.import_plan import Register, plan_import
from doorround.door_schedules.places import of_section
from doorround.door_schedules.schedule import read_schedule
from doorround.door_schedules.sheet_doors import Options, split_rows
from tests.whole import so_many

ALL = [*CASES, *MENDED, *UNSEEN]
ODD = [
    *(
        "#N/A",
        "=A1+1",
        "-1",
        "1e9",
        "\x07",
        "\u202e12",
        "１２",
        "'",
        '"',
        "00",
        "1/0",
        "NaN",
        "inf",
    ),
    *("31/31/31", "1 1/0 hr", "2 x", "x", '1/0"', "9" * 30, "FD" + "9" * 40, "½½", "0/0 hour"),
    *("0 x 0", "²", "⅓", "٣", "a" * 3000, "\u200b", '1/2"', "3'-0", "0000-00-00", "2026-13-45"),
]
HEADS = [
    *("Rating", "Closer", "Hinges", "Leaf size", "Width", "Height (in)", "Last inspected", "Floor"),
    *("Smoke seals", "Weight", "Hold open", "Type", "Glazing", "Signage", "Seals", "Location"),
]


def read_all(path: Path) -> int:
    """How many lines a plan of that file has. Raises ScheduleError."""
    schedule = read_schedule(path, Options(today=TODAY), {}, {})
    return len(plan_import(schedule.doors, schedule.left, Register(())).lines)


@pytest.mark.parametrize("seed", range(so_many(2, 8)))
def test_no_text_ends_in_anything_but_doors_or_advice(seed: int, tmp_path: Path) -> None:
    dice = Random(seed)
    words = [
        *ODD,
        *(
            text
            for case in CASES
            if case.file.endswith(".csv")
            for text in case.content.decode("utf-8", "replace").split(",")
        ),
    ]
    read = 0
    for nth in range(40):
        rows = [["Door No", *dice.sample(HEADS, 6)]]
        rows += [[dice.choice(words) for _ in range(dice.randint(5, 8))] for _ in range(8)]
        quoted = [",".join('"' + text.replace('"', '""') + '"' for text in row) for row in rows]
        path = tmp_path / f"{nth}.csv"
        path.write_text("\n".join(quoted), encoding="utf-8", errors="replace")
        read += read_all(path)
    assert read > 100


@pytest.mark.parametrize(
    "case", [each for each in ALL if each.file.endswith(".xlsx")], ids=lambda case: case.file
)
def test_a_damaged_workbook_ends_in_doors_or_advice(case: Case, tmp_path: Path) -> None:
    dice = Random(case.file)
    for nth in range(12):
        torn = bytearray(case.content)
        for _ in range(dice.randint(1, 30)):
            torn[dice.randrange(len(torn))] = dice.randrange(256)
        path = tmp_path / f"{nth}.xlsx"
        path.write_bytes(bytes(torn[: dice.choice((None, dice.randrange(1, len(torn))))]))
        try:
            read_all(path)
        except ScheduleError as error:
            assert path.name in str(error)


@pytest.mark.parametrize("case", ALL, ids=lambda case: case.file)
def test_no_row_and_no_word_without_a_field_is_dropped(case: Case, tmp_path: Path) -> None:
    path = tmp_path / case.file
    path.write_bytes(case.content)
    said = {name.casefold(): field for name, field in case.said.items()}
    schedule = read_schedule(path, Options(today=TODAY), case.said, {})
    doors = {(door.sheet, door.row): door for door in schedule.doors}
    left = {(row.sheet, row.row) for row in schedule.left}
    for sheet in read_sheets(path):
        headings = find_headings(sheet, said, {}) if sheet.rows else None
        if headings is None:
            assert sheet.name in schedule.skipped or str(headless("x", sheet))
            continue
        split = split_rows(sheet, headings, Options(today=TODAY))
        known = {raw.row for raw in split.doors} | {row.row for row in split.left}
        for row in sheet.rows[headings.row :]:
            texts = {cell.text for cell in row if cell.text}
            repeated = len(texts & {column.heading for column in headings.columns}) >= 2
            title = len(texts) == 1 and bool(of_section(next(iter(texts))))
            assert not texts or row[0].row in known or repeated or title, texts
        for raw in split.doors:
            door = doors.get((sheet.name, raw.row))
            assert door is not None or (sheet.name, raw.row) in left
            for column, cell in raw.cells if door else ():
                if column.field == REMARKS and column.how is not How.NONE:
                    assert cell.text in door.fields["remarks"]  # type: ignore[union-attr]
