"""doorround doors: changing a door, doors of two sites, and fields in the words of the talk."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner
from visits import CHECKLIST

from doorround.cli.app import app
from doorround.domain.door import Door


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    return tmp_path


def run(*words: str, code: int = 0) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == code, result.output
    return result.output


def field(name: str, number: str = "12", *more: str) -> object:
    value = json.loads(run("doors", "show", number, "--json", *more))[name]
    return value["text"] if isinstance(value, dict) else value


def test_a_door_is_changed_with_a_reason_that_stands_in_the_logbook(home: Path) -> None:
    run("doors", "add", "12", "--set", "use=stair", "--set", "rating=FD30")
    said = run(
        "doors",
        "change",
        "12",
        "--set",
        "rating=sixty smoke",
        "--set",
        "closer=overhead",
        "--why",
        "new leaf",
    )
    assert said == "Door 12: rating, closer changed.\n"
    assert (field("rating"), field("closer"), field("use")) == ("FD60S", "overhead", "stair")
    entries = [json.loads(line) for line in run("logbook", "show", "--json").splitlines()]
    assert [entry["kind"] for entry in entries] == ["door added", "door changed"]
    assert entries[1]["body"]["why"] == "new leaf" and entries[1]["person"] == "supervisor"
    assert "(new leaf)" in run("logbook", "show")
    assert (
        run("doors", "change", "12", "--set", "closer=overhead", "--why", "again")
        == "Door 12 was so already.\n"
    )
    assert len(run("logbook", "show", "--json").splitlines()) == 2
    run("doors", "change", "12", "--set", "closer=unknown", "--why", "to be looked at")
    assert field("closer") is None
    assert "unbroken" in run("logbook", "verify")


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--set", "rating=FD60"], "why"),
        (["--why", "x"], "Say what to change"),
        (["--why", "x", "--set", "number=13"], "number: it says which door this is"),
        (["--why", " ", "--set", "rating=FD60"], "Give the reason for the change"),
        (
            ["--why", "x", "--set", "colour=red"],
            "colour: there is no such field. Use one of: number, site",
        ),
        (["--why", "x", "--set", "leaf_width_mm=5"], "leaf_width_mm: "),
    ],
)
def test_a_change_that_cannot_be_says_what_to_do_and_enters_nothing(
    home: Path, words: list[str], told: str
) -> None:
    run("doors", "add", "12")
    assert told in run("doors", "change", "12", *words, code=2)
    assert len(run("logbook", "show", "--json").splitlines()) == 1


def test_a_number_that_is_there_already_names_the_command_that_changes_it(home: Path) -> None:
    run("doors", "add", "12")
    assert "Change it: doorround doors change." in run("doors", "add", "12", code=2)


def test_where_two_sites_have_the_number_show_change_and_chat_ask_for_the_site(home: Path) -> None:
    for site in ("Yard", "Mill"):
        run("doors", "add", "12", "--set", f"site={site}", "--set", f"place=at the {site}")
    for words in (
        ["doors", "show", "12"],
        ["doors", "change", "12", "--why", "x", "--set", "use=stair"],
        ["chat", "--door", "12"],
    ):
        assert "There are 2 doors 12: Mill; Yard. Say which: --site, --building." in run(
            *words, code=2
        )
    run("doors", "change", "12", "--site", "Mill", "--why", "x", "--set", "use=stair")
    assert (
        field("use", "12", "--site", "Mill") == "stair"
        and field("use", "12", "--site", "Yard") is None
    )
    assert "at the Yard" in run("doors", "show", "12", "--site", "Yard")
    talk = CliRunner().invoke(app, ["chat", "--door", "12", "--site", "Mill"], input="")
    assert "bot: Door 12: Mill, at the Mill." in talk.output


@pytest.mark.parametrize(
    ("said", "name", "value"),
    [
        ("use=corridor", "use", "corridor in constant use"),
        ("use=fire exit", "use", "final exit"),
        ("hold_open=magnet", "hold_open", "alarm-linked"),
        ("glazing=clear", "glazing", "clear fire-resisting"),
        ("closer=kept locked", "closer", "none, kept locked"),
        ("closer=none, kept locked", "closer", "none, kept locked"),
        ("rating=thirty smoke", "rating", "FD30S"),
        ("seals=with brush", "seals", "intumescent with brush or fin"),
        ("threshold_seal=not fitted", "threshold_seal", "none"),
        ("leaf_width_mm=nine hundred and twenty six", "leaf_width_mm", 926.0),
        ("leaf_mass_kg=45 kg", "leaf_mass_kg", 45.0),
        ("hinges=three", "hinges", 3),
        ("latch=not known", "latch", None),
    ],
)
def test_a_field_takes_the_words_of_the_register_and_of_the_talk(
    home: Path, said: str, name: str, value: object
) -> None:
    run("doors", "add", "12", "--set", said)
    assert field(name) == value


def test_every_button_of_a_register_question_can_be_written(home: Path) -> None:
    for question in (each for each in CHECKLIST.question if each.component == "register"):
        for nth, tap in enumerate(question.taps):
            run("doors", "add", f"{question.fills}-{nth}"[:20], "--set", f"{question.fills}={tap}")


@pytest.mark.parametrize("name", ["use", "hold_open", "glazing", "closer", "latch"])
def test_a_word_that_is_none_is_refused_with_all_that_may_be_said(home: Path, name: str) -> None:
    said = run("doors", "add", "12", "--set", f"{name}=purple", code=2)
    question = next(each for each in CHECKLIST.question if each.fills == name)
    kinds = Door.model_fields[name].annotation.__args__[0]  # type: ignore[union-attr]
    assert all(each in said for each in [*question.taps, *kinds]), said
