"""Names and places: cleaned or refused where they are entered, and never printed raw."""

from __future__ import annotations

import io
import json
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.cli.safe_output import ShownStream
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.plain_text import plain_line, plain_number, shown, unseen
from doorround.logbook.errors import DoorExistsError, UnknownDoorError
from doorround.logbook.store import Logbook

NOW = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
STEERING = (
    "\x1b[2J",
    "\x1b]0;title\x07",
    "\x9b31m",
    "\u202e",
    "\u2066",
    "\u200f",
    "\x00",
    "\x7f",
    "\U000e0001",
)


@pytest.mark.parametrize("signs", STEERING, ids=repr)
def test_what_steers_a_terminal_or_turns_text_round_is_refused_by_name(signs: str) -> None:
    with pytest.raises(
        ValueError, match=r"^place: there is a sign in it that cannot be seen \(U\+"
    ):
        plain_line(f"by the {signs}lift", "place")
    with pytest.raises(
        ValueError, match=r"^number: there is a sign in it that cannot be seen \(U\+"
    ):
        plain_number(f"1{signs}2")


@pytest.mark.parametrize(
    ("written", "entered"),
    [
        ("  by the\tlift ", "by the lift"),
        ("two\nlines", "two lines"),
        ("soft\u00adhyphen\u200b\ufeff", "softhyphen"),
        ("Cafe\u0301 door", "Café door"),
        ("محل ב٣ 門", "محل ב٣ 門"),
    ],
)
def test_what_nobody_means_is_cleaned_and_every_script_stays(written: str, entered: str) -> None:
    assert plain_line(written, "place") == entered


def test_a_new_line_in_a_number_is_refused_and_not_made_another_number() -> None:
    with pytest.raises(ValueError, match=r"U\+000A"):
        plain_number("1\n2")


@pytest.mark.parametrize("written", ["12", " 12 ", "１２", "12\u200b", "12\n"])
def test_a_number_written_otherwise_is_the_same_door(written: str, tmp_path: Path) -> None:
    assert plain_number(written) == "12"
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(Door(number="12", site="Yard"), "Kim", NOW)
        with pytest.raises(DoorExistsError, match=r"Door 12 \(Yard\) is in the register already"):
            logbook.add_door(Door(number=written, site="Yard"), "Kim", NOW)
        assert logbook.door(written).number == "12"
        logbook.add_door(Door(number="12a", site="Yard"), "Kim", NOW)
        assert logbook.door("12A").number == "12a"
        with pytest.raises(DoorExistsError, match=r"Door 12a \(Yard\)"):
            logbook.add_door(Door(number="１２A", site="Yard"), "Kim", NOW)


def test_a_door_of_an_earlier_version_with_odd_signs_stays_readable(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        for number in ("1\n2", " 7 ", "\u202e9"):
            old = Door(number=number, place="\x1b[31mred")
            entry = Entry(
                kind=EntryKind.DOOR_ADDED,
                at=NOW,
                person="Kim",
                door=number,
                body=old.model_dump(mode="json"),
            )
            with logbook.writing():
                logbook._enter([entry])
        assert {door.number for door in logbook.doors()} == {"1\n2", " 7 ", "\u202e9"}
        assert logbook.door("7").number == " 7 " and logbook.door("1\n2").place == "\x1b[31mred"
        with pytest.raises(UnknownDoorError):
            logbook.door("9")
        assert logbook.change_door(
            Door(number=" 7 ", place="by the lift"), "Kim", NOW, "cleaned"
        ) == ("place",)


@given(st.text())
def test_what_is_shown_steers_nothing_and_reads_back_as_json(text: str) -> None:
    assert unseen(shown(text, also="")) is None
    written = json.dumps(text, ensure_ascii=False)
    assert json.loads(shown(written)) == text


def test_a_stream_writes_out_what_steers_but_for_the_programs_own_styles() -> None:
    raw = io.StringIO()
    stream = ShownStream(raw)
    stream.write("\x1b[31mred\x1b[0m \x1b[2Jgone \x1b]8;;x\x07 \u202etxt\nnext\r")
    assert (
        raw.getvalue()
        == "\x1b[31mred\x1b[0m \\u001b[2Jgone \\u001b]8;;x\\u0007 \\u202etxt\nnext\\u000d"
    )


def test_no_command_prints_such_a_place_raw_or_takes_it(tmp_path: Path) -> None:
    env = {"DOORROUND_HOME": str(tmp_path)}
    for words in (["doors", "add", "1\u202e2"], ["doors", "add", "12", "--set", "place=\x1b[2J"]):
        refused = CliRunner().invoke(app, words, env=env)
        assert refused.exit_code == 2 and "invisible character (U+" in refused.output
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        old = Door(number="12", place="by the \x1b[2J\u202elift", building="B\x07")
        body = old.model_dump(mode="json")
        with logbook.writing():
            logbook._enter(
                [
                    Entry(
                        kind=EntryKind.DOOR_ADDED,
                        at=NOW,
                        person="K\x1b]0;x\x07",
                        door="12",
                        body=body,
                    )
                ]
            )
    for words in (
        ["doors", "list"],
        ["doors", "list", "--json"],
        ["doors", "show", "12"],
        ["due"],
        ["due", "--json"],
        ["logbook", "show"],
        ["doors", "show", "12", "--json"],
        ["summary"],
    ):
        said = CliRunner().invoke(app, words, env=env)
        assert said.exit_code == 0, said.output
        assert unseen(said.output.replace("\n", "")) is None, words
    chat = CliRunner().invoke(app, ["chat", "--door", "12"], env=env, input="note a\x1b[2Jb\n")
    assert unseen(chat.output.replace("\n", "")) is None and "\\u202e" in chat.output
