"""The program as a process: pipes, help, version, colour, completion, and the code with which it
ends.
"""

from __future__ import annotations

import errno
import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from doorround.cli.cli_errors import plain_os_error

PROGRAM = [
    sys.executable,
    "-c",
    "import sys; sys.argv[0] = 'doorround'; from doorround.cli.app import main; main()",
]


def run(home: Path, *words: str, **env: str) -> subprocess.CompletedProcess[str]:
    given = {**os.environ, "DOORROUND_HOME": str(home), **env}
    return subprocess.run(
        [*PROGRAM, *words], env=given, capture_output=True, text=True, check=False
    )


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_goes_away_ends_the_program_quietly(tmp_path: Path, unbuffered: str) -> None:
    given = {**os.environ, "DOORROUND_HOME": str(tmp_path), "PYTHONUNBUFFERED": unbuffered}
    ours, theirs = os.pipe()
    os.close(ours)  # gone before the first line, so that no time decides
    program = subprocess.run(
        [*PROGRAM, "questions", "--json"],
        env=given,
        stdout=theirs,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )
    os.close(theirs)
    assert (program.stderr, program.returncode) == ("", 141)


@pytest.mark.parametrize(
    "words", [[], ["doors"], ["doors", "add"], ["grammar", "words", "add"]], ids=" ".join
)
def test_help_is_asked_for_in_both_ways_everywhere(tmp_path: Path, words: list[str]) -> None:
    short = run(tmp_path, *words, "-h")
    long = run(tmp_path, *words, "--help")
    assert (
        short.returncode == 0 and short.stdout == long.stdout and short.stdout.startswith("Usage: ")
    )


def test_the_version_is_told(tmp_path: Path) -> None:
    said = run(tmp_path, "--version")
    assert said.returncode == 0 and said.stdout.startswith("doorround ")


def test_completion_can_be_had_for_a_shell(tmp_path: Path) -> None:
    # what --install-completion asks for, whichever shell the tests were begun in
    said = run(tmp_path, _DOORROUND_COMPLETE="source_bash")
    assert said.returncode == 0 and "complete -o default -F" in said.stdout
    words = {
        "_DOORROUND_COMPLETE": "complete_bash",
        "COMP_WORDS": "doorround doors cha",
        "COMP_CWORD": "2",
    }
    assert run(tmp_path, **words).stdout.split() == ["change"]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["hear", "gone.ogg", "--question", "seals"], 1, ""),
        (
            ["judge", "gone.toml"],
            2,
            "doorround: gone.toml is not there. Look at its name and folder.\n",
        ),
        (["judge", "."], 2, "doorround: . is a folder, not a file.\n"),
        (["doors", "show", "99"], 2, "doorround: There is no door 99 in the register."),
        (["purple"], 2, "Usage: "),
        (["logbook", "verify"], 2, "doorround: There is no logbook at "),
        (["doors", "list"], 0, ""),
    ],
)
def test_a_command_ends_with_the_code_that_is_documented(
    tmp_path: Path, words: list[str], code: int, told: str
) -> None:
    said = run(tmp_path, *words)
    assert (said.returncode, said.stderr.startswith(told)) == (code, True), said.stderr
    assert "Errno" not in said.stderr + said.stdout and "Traceback" not in said.stderr


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["logbook", "clip", "x"], '"x" is not a whole number.'),
        (["logbook", "clip", "0"], '"0" is out of range. Write a number from 1.'),
        (["logbook", "show", "--limit", "0"], '"0" is out of range. Write a number from 1.'),
        (["sample-estate", "--into", "e", "--doors", "1" * 21], "Write a number up to 2000."),
        (["intervals", "--availability", "most"], '"most" is not a number.'),
    ],
)
def test_a_number_that_cannot_be_is_told_in_plain_words(
    tmp_path: Path, words: list[str], told: str
) -> None:
    said = run(tmp_path, *words)
    assert said.returncode == 2
    assert said.stderr.rstrip().endswith(told), said.stderr
    assert "Input should" not in said.stderr


@pytest.mark.parametrize(
    ("error", "told"),
    [
        (
            OSError(errno.ENOSPC, "No space left on device"),
            "A file cannot be written, the disk is full. Make room and try again.",
        ),
        (
            OSError(errno.ENOSPC, "No space left on device", "a.db"),
            "a.db cannot be written, the disk is full. Make room and try again.",
        ),
        (OSError(errno.EIO, "Input/output error"), "Input/output error."),
        (OSError(errno.EIO, "Input/output error", "a.db"), "a.db: Input/output error"),
        (OSError("no file at all"), "no file at all"),
    ],
)
def test_what_the_system_refuses_is_told_without_its_number(error: OSError, told: str) -> None:
    assert plain_os_error(error) == told


def test_an_entry_of_21_digits_is_not_there(tmp_path: Path) -> None:
    assert run(tmp_path, "doors", "add", "7").returncode == 0
    said = run(tmp_path, "logbook", "clip", "1" * 21)
    assert (said.returncode, said.stderr) == (
        2,
        f"doorround: There is no entry {'1' * 21}. See doorround logbook show.\n",
    )
    assert run(tmp_path, "logbook", "show", "--after", "1" * 21).returncode == 0
    assert "Added to the register" in run(tmp_path, "logbook", "show", "--limit", "1" * 21).stdout
    noted = run(tmp_path, "logbook", "verify", f"{'1' * 21} {'a' * 64}")
    assert noted.returncode == 2 and "is not a noted line" in noted.stderr


@pytest.mark.skipif(os.geteuid() == 0, reason="nothing is forbidden to root")
def test_what_may_not_be_read_is_told_without_a_number(tmp_path: Path) -> None:
    (tmp_path / "door.toml").write_text("[door]\n")
    (tmp_path / "door.toml").chmod(0)
    said = run(tmp_path, "judge", str(tmp_path / "door.toml"))
    assert said.returncode == 2 and "cannot be read or written by this account" in said.stderr


@pytest.mark.parametrize(
    ("env", "coloured"), [({}, True), ({"NO_COLOR": "1"}, False), ({"NO_COLOR": ""}, True)]
)
def test_colour_goes_to_a_terminal_only_and_not_where_no_color_is_set(
    tmp_path: Path, env: dict[str, str], coloured: bool
) -> None:
    ours, theirs = pty.openpty()
    given = {**os.environ, "DOORROUND_HOME": str(tmp_path), "TERM": "xterm"}
    given = {name: value for name, value in given.items() if name != "NO_COLOR"} | env
    subprocess.run(
        [*PROGRAM, "doors", "show", "9"], env=given, stdout=theirs, stderr=theirs, check=False
    )
    os.close(theirs)
    said = os.read(ours, 4096)
    os.close(ours)
    assert (b"\x1b[31m" in said) is coloured
    assert b"There is no door 9" in said


def test_help_loads_nothing_heavy() -> None:
    """What loads them takes a second on a small computer: each command does so by itself."""
    heavy = "numpy pydantic asyncio rich telegram lark sqlite_utils av matplotlib httpx holidays"
    code = (
        "import sys, doorround.cli.app\n"
        f"print(*[name for name in {heavy.split()} if name in sys.modules])"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert said.stdout == "\n"
