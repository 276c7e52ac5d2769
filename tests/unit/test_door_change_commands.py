"""doorround doors move, renumber, retire, bring-back, checked-before, run as a person runs them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    run("doors", "add", "12", "--set", "use=stair", "--set", "floor=1", "--set", "building=East")
    return tmp_path


def run(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == code, result.output
    return result.output


def test_a_door_is_moved_renumbered_retired_and_brought_back(home: Path) -> None:
    said = run("doors", "move", "12", "--floor", "2", "--place", "stair B", "--why", "hung there")
    assert said == "Door 12 is now: East, 2, stair B.\n"
    assert run("doors", "move", "12", "--floor", "2", "--why", "x").startswith("Door 12 was there")
    assert "Door 12 is now door 2.12." in run(
        "doors", "renumber", "12", "2.12", "--why", "by floor"
    )
    assert json.loads(run("doors", "show", "12", "--json"))["number"] == "2.12"
    assert run("doors", "retire", "2.12", "--why", "bricked up").startswith("Door 2.12 is retired:")
    assert "retired on" in run("chat", "--door", "2.12", code=2)
    assert "RETIRED on" in run("doors", "show", "2.12") and "bricked up" in run("doors", "retired")
    assert json.loads(run("doors", "retired", "--json"))["retired_why"] == "bricked up"
    assert "2.12" not in run("doors", "list", "--json") and "2.12" not in run("due", "--json")
    assert run("doors", "bring-back", "2.12", "--why", "opened again").startswith("Door 2.12 is")
    assert json.loads(run("doors", "list", "--json"))["use"] == "stair"
    kinds = [json.loads(line)["kind"] for line in run("logbook", "show", "--json").splitlines()]
    changes = ["door moved", "door renumbered", "door retired", "door brought back"]
    assert kinds == ["door added", *changes]
    shown = " ".join(run("logbook", "show").split())
    assert "Moved: floor 1 → 2; place none → stair B" in shown
    assert "Door 12 is now door 2.12" in shown
    assert "unbroken" in run("logbook", "verify")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("move", "12", "--why", "x"), "Say where it is now: --place, --floor"),
        (("move", "12", "--floor", "2"), "why"),
        (("move", "12", "--floor", "2", "--why", " "), "Say why"),
        (("renumber", "12", "13", "--why", ""), "Say why"),
        (("retire", "99", "--why", "x"), "There is no door 99"),
        (("bring-back", "12", "--why", "x"), "Door 12 is in use."),
        (("checked-before", "12"), "Give the day: --on 2026-05-11"),
        (("checked-before", "12", "--on", "11/5"), "is not a date. Write it as"),
        (("checked-before", "12", "--on", "2199-01-01"), "still to come"),
        (("checked-before", "12", "--withdraw", "x"), "No check before doorround was entered"),
    ],
)
def test_what_cannot_be_says_what_to_do_and_enters_nothing(
    words: tuple[str, ...], told: str
) -> None:
    assert told in run("doors", *words, code=2)
    assert len(run("logbook", "show", "--json").splitlines()) == 1


def test_an_earlier_check_is_entered_and_the_door_falls_due_from_it() -> None:
    said = run("doors", "checked-before", "12", "--on", "2026-05-11", "--by", "Old Tom")
    assert said == "Door 12: last check before doorround on 2026-05-11 (by book) entered.\n"
    [due] = [json.loads(line) for line in run("due", "--json").splitlines()]
    assert due["due"] == "2026-06-11" and due["why"] != "never checked"
    shown = " ".join(run("logbook", "show").split())
    assert "Last check before doorround: 2026-05-11, by Old Tom" in shown
    run("doors", "checked-before", "12", "--withdraw", "that was door 13")
    assert json.loads(run("due", "--json"))["why"] == "never checked"
