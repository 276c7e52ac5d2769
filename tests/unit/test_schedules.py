"""Door schedules of thirty-five makes, ugly on purpose, are read as somebody careful reads them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from schedule_cases import Case
from schedules import CASES
from schedules_later import OPENINGS, REGISTER, SURVEY
from schedules_mended import MENDED
from schedules_own import CLINIC, OWN
from schedules_unseen import MISSED, UNSEEN
from visits import CHECKLIST

from doorround.cli.door_fields import RegisterWords
from doorround.door_schedules.import_plan import Register, RowOutcome, plan_import
from doorround.door_schedules.schedule import Schedule, read_schedule
from doorround.door_schedules.sheet_doors import Options
from doorround.wiring import load_understanding

LATER = (REGISTER, SURVEY, OPENINGS, CLINIC, OWN)
TODAY = date(2026, 6, 15)
WORDS = RegisterWords(CHECKLIST, load_understanding)


def read(case: Case, folder: Path) -> Schedule:
    path = folder / case.file
    path.write_bytes(case.content)
    options = Options(today=TODAY, said=WORDS.meant)
    return read_schedule(path, options, case.said, {})


def hold(case: Case, schedule: Schedule) -> None:
    """Everything that a case says of its file."""
    plan = plan_import(schedule.doors, schedule.left, Register(()))
    several = any(
        "/" in number and number.partition("/")[0].startswith("Block") for number in case.doors
    )
    added = {
        f"{line.row.fields['building']}/{line.row.number}" if several else line.row.number: line.row
        for line in plan.of(RowOutcome.ADD)
    }
    assert list(added) == list(case.doors)
    for number, wanted in case.doors.items():
        fields = added[number].fields
        found = {name: fields.get(name) for name in wanted}
        assert found == wanted, number
    last = {number: row.last_check.isoformat() for number, row in added.items() if row.last_check}
    assert last == case.last
    doubts = [doubt.cell for line in plan.lines for doubt in line.row.doubts]
    assert sorted(doubts) == sorted(case.doubts)
    refused = [line.row.cell for line in plan.of(RowOutcome.REFUSE)]
    refused += [row.cell for row in plan.left if row.refused]
    assert sorted(refused) == sorted(case.refused)
    assert sorted(row.cell for row in plan.left if not row.refused) == sorted(case.left)


@pytest.mark.parametrize("case", [*CASES, *MENDED, *LATER], ids=lambda case: case.file)
def test_a_schedule_is_read_as_somebody_careful_reads_it(case: Case, tmp_path: Path) -> None:
    hold(case, read(case, tmp_path))


@pytest.mark.parametrize("case", UNSEEN, ids=lambda case: case.file)
def test_what_the_reader_was_not_tuned_on_comes_out_right_or_not_at_all(
    case: Case, tmp_path: Path
) -> None:
    schedule = read(case, tmp_path)
    found = {row.number: row for row in schedule.doors}
    assert list(found) == list(case.doors)
    missed = MISSED.get(case.file, {})
    for number, wanted in case.doors.items():
        fields = {name: value for name, value in wanted.items() if name != "remarks"}
        expected = {
            name: None if name in missed.get(number, ()) else value
            for name, value in fields.items()
        }
        assert {name: found[number].fields.get(name) for name in fields} == expected, number
    last = {number: row.last_check.isoformat() for number, row in found.items() if row.last_check}
    assert last == case.last
    assert sorted(row.cell for row in schedule.left) == sorted((*case.refused, *case.left))


@pytest.mark.parametrize(
    ("title", "headings", "told"),
    [
        (b"Date of survey,12/05/2026", b"Door No,Rating", True),
        (b"Inspected 12 May 2026", b"Door No,Rating", True),
        (b"Inspected 12 May 2026", b"Last checked,Door No", False),
        (b"Issue,P02", b"Door No,Rating", False),
    ],
)
def test_a_survey_above_the_headings_is_told_of_and_no_doors_last_check(
    title: bytes, headings: bytes, told: bool, tmp_path: Path
) -> None:
    content = title + b"\n" + headings + b"\n1,FD30S\n"
    schedule = read(Case("survey.csv", content, {}), tmp_path)
    said = [note for sheet in schedule.sheets for note in sheet.notes if "Row 1 says" in note]
    assert bool(said) is told
    assert [door.last_check for door in schedule.doors] == [None]
