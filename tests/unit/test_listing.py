"""Listings: tables on a terminal, plain columns in a pipe, JSON for programs; old command names."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from doorround.cli.listing import Row, plain_lines
from doorround.cli.old_names import RENAMED
from doorround.logbook.store import Logbook
from tests.program_here import Done, run_here

PROGRAM = [sys.executable, "-c", "from doorround.cli.app import main; main()"]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with two doors."""
    from small_visit import at, door

    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(door("14", place="by the lift", use="lobby"), "Mona", at(0))
        logbook.add_door(door("R3", place="roof"), "Mona", at(0))
    return home


def given(home: Path, **more: str) -> dict[str, str]:
    here = {name: value for name, value in os.environ.items() if name != "NO_COLOR"}
    return {**here, "DOORROUND_HOME": str(home), "TERM": "xterm", "COLUMNS": "90", **more}


def piped(home: Path, *words: str) -> Done:
    return run_here(list(words), given(home))


def on_a_terminal(home: Path, *words: str, **more: str) -> str:
    ours, theirs = pty.openpty()
    subprocess.run([*PROGRAM, *words], env=given(home, **more), stdout=theirs, check=True)
    os.close(theirs)
    said = b""
    while part := _read(ours):
        said += part
    os.close(ours)
    return said.decode()


def _read(handle: int) -> bytes:
    try:
        return os.read(handle, 65_536)
    except OSError:  # Linux tells the end of a terminal so
        return b""


def test_columns_are_as_wide_as_their_widest_cell_and_empty_ones_are_left_out() -> None:
    rows = [Row({}, ("1", "", "stair A")), Row({}, ("100.03", "", "roof"))]
    assert plain_lines(rows) == ["1       stair A", "100.03  roof"]
    assert plain_lines([]) == []


def test_a_cell_stays_on_its_line_and_steers_nothing() -> None:
    rows = [Row({}, ("1", "two\nlines \x1b[31mred"))]
    assert plain_lines(rows) == ["1  two lines \\u001b[31mred"]


def test_in_a_pipe_a_listing_is_plain_aligned_text(home: Path) -> None:
    said = subprocess.run(
        [*PROGRAM, "doors", "list"], env=given(home), capture_output=True, text=True, check=False
    )
    assert (said.stdout, said.stderr) == (piped(home, "doors", "list").stdout, "")
    assert said.stdout.splitlines() == [
        "14  ?  lobby  East, 1, by the lift",
        "R3  ?  ?      East, 1, roof",
    ]


def test_on_a_terminal_a_listing_is_a_table_with_titles(home: Path) -> None:
    said = on_a_terminal(home, "doors", "list")
    assert "\x1b[1m" in said and "rating" in said and "━" in said.replace("─", "━")
    assert "by the lift" in said
    assert "\\u001b" not in said


def test_a_table_fits_a_narrow_terminal(home: Path) -> None:
    said = on_a_terminal(home, "due", "--on", "2026-03-02", COLUMNS="40", NO_COLOR="1")
    plain = said.replace("\x1b[1m", "").replace("\x1b[0m", "")
    assert plain.splitlines() and max(map(len, plain.splitlines())) <= 40


def test_no_colour_where_no_color_is_set(home: Path) -> None:
    piped(home, "doors", "out-of-service", "14", "--why", "leaf off")
    assert "\x1b[31m" in on_a_terminal(home, "doors", "list")
    assert "\x1b[31m" not in on_a_terminal(home, "doors", "list", NO_COLOR="1")


LISTINGS = (
    ["doors", "list"],
    ["doors", "spread", "--on", "2026-03-02"],
    ["due", "--on", "2026-03-02"],
    ["defects", "list"],
    ["people", "list"],
    ["questions"],
    ["rules", "list"],
    ["models", "list"],
    ["grammar", "words", "list"],
    ["logbook", "show"],
    ["logbook", "questions"],
    ["reminders", "--dry-run"],
    ["intervals"],
)


@pytest.mark.parametrize("words", LISTINGS, ids=" ".join)
def test_every_listing_gives_one_json_object_a_line_and_nothing_else(
    home: Path, words: list[str]
) -> None:
    said = piped(home, *words, "--json")
    assert (said.returncode, said.stderr) == (0, "")
    assert all(isinstance(json.loads(line), dict) for line in said.stdout.splitlines())


@pytest.mark.parametrize(("group", "old"), RENAMED)
def test_an_old_name_works_and_tells_the_new_one(home: Path, group: str, old: str) -> None:
    words = [old] if group == "doorround" else [group, old]
    said = piped(home, *words, "--help")
    assert said.returncode == 0 and said.stdout.startswith("Usage: ")
    [line] = said.stderr.splitlines()
    assert line == (
        f"doorround: “{' '.join(words)}” is now “{' '.join([*words[:-1], RENAMED[group, old]])}”. "
        "The old name works in this release and not in the next."
    )


def test_an_old_name_does_what_the_new_one_does(home: Path) -> None:
    said = piped(home, "doors", "refused", "14", "--why", "nobody in")
    assert said.stdout == "Entered: no access to door 14, nobody in. It stays due.\n"
    assert "doors no-access" in said.stderr
    assert [json.loads(line)["door"] for line in piped(home, "due", "--json").stdout.splitlines()]


def test_help_names_no_old_command(home: Path) -> None:
    listed = [
        line.split()[0]
        for line in piped(home, "doors", "--help").stdout.splitlines()
        if line.strip()
    ]
    assert "no-access" in listed and not {"refused", "out", "fit"} & set(listed)
