"""doorround doors spread: shown, entered, and read by a program."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import small_visit as visit
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.door import Use
from doorround.logbook.store import Logbook


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Ten corridor doors that were never checked; so they are due every week."""
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    monkeypatch.setenv("DOORROUND_ZONE", "Europe/London")
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for nth in range(1, 11):
            door = visit.door(str(nth), floor="ground", use=Use.CORRIDOR)
            logbook.add_door(door, "Mona", visit.at(-5))
    return tmp_path


def run(*words: str) -> str:
    done = CliRunner().invoke(app, list(words))
    assert done.exit_code == 0, done.output
    return done.stdout


def test_ten_doors_are_spread_over_the_five_working_days_of_a_week(home: Path) -> None:
    told = run("doors", "spread", "--on", "2026-03-02", "--json").splitlines()
    rows = [json.loads(line) for line in told]
    days = [f"2026-03-{day:02}" for day in (2, 2, 3, 3, 4, 4, 5, 5, 6, 6)]
    assert [row["first_check"] for row in rows] == days
    assert {row["door"] for row in rows} == {str(nth) for nth in range(1, 11)}
    assert not any(row["entered"] for row in rows)
    assert rows[0]["use"] == Use.CORRIDOR and rows[0]["floor"] == "ground"


def test_what_is_confirmed_is_what_falls_due(home: Path) -> None:
    told = run("doors", "spread", "--on", "2026-03-02", "--confirm", "--json").splitlines()
    rows = {row["door"]: row for row in map(json.loads, told)}
    assert all(row["entered"] for row in rows.values())
    due = [json.loads(line) for line in run("due", "--on", "2026-03-06", "--json").splitlines()]
    assert {row["door"]: row["due"] for row in due} == {
        number: row["first_check"] for number, row in rows.items()
    }


def test_for_people_it_says_that_nothing_is_entered_yet(home: Path) -> None:
    told = run("doors", "spread", "--on", "2026-03-02").splitlines()
    assert len(told) == 11 and told[0].startswith("2026-03-02")
    assert (
        told[-1]
        == "10 doors never checked. Nothing has been entered yet. To enter it, add --confirm."
    )
