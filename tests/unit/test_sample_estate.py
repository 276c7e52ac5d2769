"""doorround sample-estate: the same estate again from the same seed, a history that holds together,
and no way to take it for a real one.
"""

from __future__ import annotations

import json
from collections import Counter
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.config.resources import load_checklist
from doorround.sample.answers import FAULTS
from doorround.sample.estate import HASTY

UNTIL = "2026-11-20"


def run(*words: object, code: int = 0, home: Path | None = None) -> Any:
    environment = {"DOORROUND_HOME": str(home)} if home else {}
    result = CliRunner().invoke(app, [str(word) for word in words], env=environment)
    assert result.exit_code == code, result.output
    return result


@pytest.fixture(scope="module")
def estate(tmp_path_factory: pytest.TempPathFactory) -> Path:
    into = tmp_path_factory.mktemp("sample") / "estate"
    make(into, doors=24, years=1.2)
    return into


def make(into: Path, seed: int = 1, doors: int = 14, years: float = 0.2) -> None:
    size = ("--doors", doors, "--years", years, "--seed", seed, "--until", UNTIL)
    run("sample-estate", *size, "--into", into, home=into.parent / "none")


def rows(home: Path, *words: object) -> list[dict[str, Any]]:
    return [json.loads(line) for line in run(*words, "--json", home=home).stdout.splitlines()]


def test_the_same_seed_gives_the_same_history(tmp_path: Path) -> None:
    homes = [tmp_path / name for name in ("once", "again", "other")]
    for home, seed in zip(homes, (7, 7, 8), strict=True):
        make(home, seed)
    heads = [run("logbook", "verify", home=home).stdout for home in homes]
    assert heads[0] == heads[1] != heads[2]
    assert "unbroken" in heads[0]


def test_its_history_has_checks_faults_repairs_and_flats_where_nobody_was_in(estate: Path) -> None:
    kinds = Counter(entry["kind"] for entry in rows(estate, "logbook", "show"))
    assert kinds["signed"] > 30 and kinds["signed"] == kinds["check started"]
    assert kinds["found"] and kinds["defect assigned"] and kinds["defect made good"]
    assert kinds["access refused"]
    # nothing lies before its first day or after its last
    days = {entry["at"][:10] for entry in rows(estate, "logbook", "show")}
    assert min(days) >= "2025-09-08" and max(days) <= UNTIL


def test_due_summary_and_defects_have_something_to_tell_on_the_first_day(estate: Path) -> None:
    assert rows(estate, "due", "--on", "2026-12-14")
    assert rows(estate, "defects", "list")
    signed = [each for each in rows(estate, "logbook", "show") if each["kind"] == "signed"]
    day, count = Counter(entry["at"][:10] for entry in signed).most_common(1)[0]
    assert count > 1
    assert f": {count} checks (Sample " in run("summary", "--on", day, home=estate).stdout


def test_it_is_marked_as_sample_data_wherever_a_door_is_named(estate: Path) -> None:
    for door in rows(estate, "doors", "list"):
        assert "(sample)" in door["building"] and "(invented)" in door["site"]
        assert door["remarks"] == "Sample data: this door does not exist."
    for words in (("doors", "list"), ("due",), ("summary",), ("defects", "list")):
        assert "Sample data: an invented estate." in run(*words, home=estate).stderr
    first = rows(estate, "logbook", "show")[0]
    assert first["body"]["text"].startswith("Sample data: an invented estate.")
    assert all(
        name.startswith("Sample ")
        for name in (row["name"] for row in rows(estate, "people", "list"))
    )


def test_a_folder_that_holds_anything_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "logbook.db").write_bytes(b"real")
    said = run("sample-estate", "--into", tmp_path, code=2).stderr
    assert "is not empty. Sample data needs a separate folder" in said
    assert (tmp_path / "logbook.db").read_bytes() == b"real"
    late = run("sample-estate", "--into", tmp_path / "x", "--until", "2199-01-01", code=2).stderr
    assert "that day is not over yet" in late and not (tmp_path / "x").exists()


def test_its_questions_are_few_and_find_the_two_planted_habits(estate: Path) -> None:
    """Honest people are asked about a repair that did not hold in one year of five
    (bench_plausible), and about nothing else but rarely; here one closer fails again after each
    repair, and one caretaker finds nothing.
    """
    asked = [(each["rule"], *each["about"]) for each in rows(estate, "logbook", "questions")]
    assert ("plausible.never_first", HASTY) in asked
    closer = [
        each for each in rows(estate, "doors", "list") if each["use"] in ("stair", "corridor")
    ]
    returning = [door for rule, door in asked if rule == "plausible.returns"]
    assert returning.count(closer[0]["number"]) == 1 and len(returning) <= 2
    assert len(asked) <= 4
    kinds = Counter(entry["kind"] for entry in rows(estate, "logbook", "show"))
    assert kinds["defect looked at"] > 20
    same = [
        entry["body"].get("same", False)
        for entry in rows(estate, "logbook", "show")
        if entry["kind"] == "defect looked at"
    ]
    assert any(same) and not all(same)


def test_every_fault_that_may_come_is_one_of_the_checklist() -> None:
    checklist = load_checklist()
    known = {(defect.component, defect.name) for defect in checklist.defect}
    for question, fault, a_year in FAULTS:
        assert (checklist.ask(question).component, fault) in known
        assert 0 < a_year < 1
    assert date.fromisoformat(UNTIL)
