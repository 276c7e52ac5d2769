"""Dates and numbers given to commands: whatever is written, a result or one line that says what to
write.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.query import read_query
from doorround.domain.schedule.day_input import FIRST, LAST, read_day
from doorround.domain.toml_text import read_toml
from tests.whole import so_many

OUTSIDE = ("9999-12-31", "0001-01-01", "1999-12-31", "2200-01-01")
ODD = (
    "",
    "yesterday",
    "2026-02-30",
    "2026-13-01",
    "9" * 5000,
    "2026-03-02T08:00",
    "２０２６-03-02",
    "-1",
)
DAYS = (*OUTSIDE, *ODD, "2000-01-01", "2199-12-31", "2026-03-02")
COMMANDS = (
    ["due", "--on", "{day}"],
    ["summary", "--on", "{day}"],
    ["summary", "--every", "weekly", "--on", "{day}"],
    ["summary", "--every", "monthly", "--on", "{day}"],
    ["reminders", "--dry-run", "--on", "{day}"],
    ["defects", "list", "--on", "{day}"],
    ["defects", "assign", "1", "--to", "Kim", "--by", "{day}"],
    ["people", "away", "Kim", "--from", "{day}", "--until", "{day}"],
)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    home = tmp_path_factory.mktemp("home")
    made = CliRunner().invoke(
        app, ["doors", "add", "12", "--set", "use=stair"], env={"DOORROUND_HOME": str(home)}
    )
    assert made.exit_code == 0
    return home


def run(home: Path, *words: str) -> tuple[int, str]:
    result = CliRunner().invoke(app, list(words), env={"DOORROUND_HOME": str(home)})
    assert result.exception is None or isinstance(result.exception, SystemExit), (
        words,
        result.exception,
    )
    return result.exit_code, result.output


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_no_day_that_is_given_to_a_command_ends_in_a_traceback(
    home: Path, words: list[str]
) -> None:
    for day in DAYS:
        code, said = run(home, *(word.replace("{day}", day) for word in words))
        if day in OUTSIDE:
            assert (
                code == 2
                and f"{day} is out of range. Write a day from 2000-01-01 to 2199-12-31." in said
            )
        assert code in (0, 2), (day, said)


@settings(max_examples=so_many(25, 60), deadline=None, suppress_health_check=list(HealthCheck))
@given(day=st.dates().map(str) | st.text(max_size=12))
def test_any_day_is_listed_or_refused(home: Path, day: str) -> None:
    code, _ = run(home, "due", f"--on={day}")
    assert code in (0, 2)


@given(st.dates())
def test_a_day_is_read_within_two_centuries(day: object) -> None:
    if FIRST <= day <= LAST:  # type: ignore[operator]
        assert read_day(str(day)) == day
    else:
        with pytest.raises(
            ValueError, match=r"out of range\. Write a day from 2000-01-01 to 2199-12-31"
        ):
            read_day(str(day))


def test_a_day_that_is_typed_in_a_chat_is_held_to_the_same() -> None:
    assert read_query("off until 9999-12-31") is None
    asked = read_query("off until 2026-03-13")
    assert asked is not None and str(asked.until) == "2026-03-13"


@pytest.mark.parametrize("number", ["9" * 21, "0", "-5", "9223372036854775807", "x"])
def test_an_entry_that_cannot_be_is_refused(home: Path, number: str) -> None:
    code, said = run(home, "logbook", "clip", "--", number)
    assert code == 2 and ("There is no entry" in said or "Invalid value" in said)


@pytest.mark.parametrize("name", ["rules.toml", "words.toml", "doorround.toml"])
def test_a_deep_or_endless_toml_file_is_refused_by_name(tmp_path: Path, name: str) -> None:
    for text in (
        "a = " + "[" * 5000 + "]" * 5000,
        "a" + ".a" * 3000 + " = 1",
        "a = " + "9" * 5000,
        "a = ",
    ):
        (tmp_path / name).write_text(text)
        command = (
            ["hear", "--text", "fine", "--question", "clear"]
            if name == "words.toml"
            else ["rules", "list"]
        )
        code, said = run(tmp_path, *command)
        assert code == 2 and name in said, (text[:20], said)
    with pytest.raises(ValueError, match=r"^x\.toml: tables or lists lie too deep"):
        read_toml("a = " + "[" * 25 + "]" * 25, "x.toml")


@pytest.mark.parametrize(
    "said",
    [
        "and " * 1000,
        "two hundred and " * 300,
        "9" * 4096,
        ":²",
        ":" + "9" * 5000,
        "x" * 5000 + ".ogg",
        "~nobody-of-that-name/a.ogg",
        "a\0b.ogg",
    ],
)
def test_nothing_that_is_typed_in_chat_ends_it(tmp_path: Path, said: str) -> None:
    # nothing is heard: the quickest engine to load
    env = {"DOORROUND_HOME": str(tmp_path), "DOORROUND_ENGINE": "pocketsphinx"}
    CliRunner().invoke(app, ["doors", "add", "12"], env=env)
    for more in ([], ["--door", "12"]):
        result = CliRunner().invoke(app, ["chat", *more], input=f"{said}\n", env=env)
        assert result.exit_code == 0 and "Saved." in result.output, result.output[-400:]
