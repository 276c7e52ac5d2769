"""doorround init: questions answered by lines, by arrow keys or by options; safe to run again."""

from __future__ import annotations

import os
import pty
import select
import stat
import subprocess
import sys
import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.config.settings import read_settings
from doorround.domain.judging.rule_sets import SETS

PROGRAM = [sys.executable, "-c", "from doorround.cli.app import main; main()"]
LINES = "Lantern House\nEurope/London\n1\n1\n3 1\n4711:abcdefgh\n/mnt/copies\ny\n"
Run = Callable[..., Any]


@pytest.fixture
def home(tmp_path: Path) -> Path:
    return tmp_path / "home"


@pytest.fixture
def run(home: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.setenv("DOORROUND_HOME", str(home))

    def run(*words: str, typed: str | None = None) -> Any:
        return CliRunner().invoke(app, ["init", *words], input=typed)

    return run


def written(home: Path) -> dict[str, Any]:
    return tomllib.loads((home / "doorround.toml").read_text(encoding="utf-8"))


def test_settings_are_on_the_disk_before_they_take_the_place_of_the_old(
    run: Run, home: Path, kept_by_the_disk: list[tuple[str, int | None]]
) -> None:
    assert run(typed=LINES).exit_code == 0
    size = (home / "doorround.toml").stat().st_size
    assert kept_by_the_disk == [("doorround.toml.new", size)]


def test_answers_become_one_settings_file_that_this_account_alone_may_read(
    run: Run, home: Path
) -> None:
    said = run(typed=LINES)
    assert said.exit_code == 0, said.output
    assert written(home) == {
        "site": "Lantern House",
        "zone": "Europe/London",
        "rules": "england-flats",
        "gauges": ["stopwatch", "ruler"],
        "backups": "/mnt/copies",
        "telegram": {"token": "4711:abcdefgh"},
        "intervals": {"rules": ["flats in England over 11 m"]},
    }
    assert stat.S_IMODE((home / "doorround.toml").stat().st_mode) == 0o600
    settings = read_settings({"DOORROUND_HOME": str(home)})
    assert (settings.site, settings.rules) == ("Lantern House", "england-flats")
    assert "through Telegram's servers" in said.stdout
    assert "doorround doors add 12" in said.stdout and "doorround serve" in said.stdout
    assert "abcdefgh" not in said.stdout


def test_run_again_it_offers_what_stands_there_and_changes_nothing(run: Run, home: Path) -> None:
    run(typed=LINES)
    before = (home / "doorround.toml").read_bytes()
    again = run(typed="\n" * 8)
    assert again.exit_code == 0
    assert "[Lantern House; - for none]" in again.stdout and "Nothing is changed" in again.stdout
    assert (home / "doorround.toml").read_bytes() == before


def test_comments_and_other_settings_stay(run: Run, home: Path) -> None:
    home.mkdir(mode=0o700)
    text = '# ours\nzone = "Europe/London"  # the mill\n\n[reminders]\nnudge_at = "09:30"\n'
    (home / "doorround.toml").write_text(text, encoding="utf-8")
    assert run("--yes", "--zone", "Europe/Paris", "--site", "Mill").exit_code == 0
    after = (home / "doorround.toml").read_text(encoding="utf-8")
    assert "# ours\n" in after and 'zone = "Europe/Paris"  # the mill\n' in after
    assert written(home)["reminders"] == {"nudge_at": "09:30"}


def test_a_wrong_answer_is_told_and_asked_again(run: Run, home: Path) -> None:
    typed = LINES.replace("Europe/London", "London\nEurope/London").replace(
        "\n1\n1\n", "\n99\n1\n1\n"
    )
    said = run(typed=typed)
    assert '"London" is not a time zone. Write one such as Europe/London.' in said.stdout
    assert f"Write one of the numbers 1 to {len(SETS)}." in said.stdout
    assert written(home)["zone"] == "Europe/London"


@pytest.mark.parametrize("typed", [LINES.replace("\ny\n", "\nn\n"), "Lantern House\n", ""])
def test_without_a_yes_nothing_is_written(run: Run, home: Path, typed: str) -> None:
    said = run(typed=typed)
    assert said.exit_code == 2 and "othing was written" in said.stderr
    assert not (home / "doorround.toml").exists()


def test_an_answer_can_be_taken_back(run: Run, home: Path) -> None:
    run(typed=LINES)
    run(typed="\n\n\n-\n-\n-\n-\ny\n")
    assert written(home) == {
        "site": "Lantern House",
        "zone": "Europe/London",
        "rules": "england-flats",
        "telegram": {},
        "intervals": {},
    }


def test_a_script_gives_options_and_is_refused_in_one_line_where_one_is_wrong(
    run: Run, home: Path
) -> None:
    said = run("--yes", "--zone", "Europe/London", "--rules", "nfpa-80", "--law", "NFPA 80")
    assert said.exit_code == 0 and written(home)["intervals"] == {"rules": ["NFPA 80"]}
    for words in (("--zone", "London"), ("--rules", "own"), ("--law", "x"), ("--token", "x")):
        refused = run("--yes", *words)
        assert refused.exit_code == 2 and refused.stderr.count("\n") == 1
        assert "Traceback" not in refused.stderr


def test_a_file_with_another_mistake_is_left_as_it_was(run: Run, home: Path) -> None:
    home.mkdir(mode=0o700)
    (home / "doorround.toml").write_text('zoen = "UTC"\n', encoding="utf-8")
    said = run("--yes", "--site", "Mill")
    assert said.exit_code == 2 and "Is “zone” meant?" in said.stderr
    assert (home / "doorround.toml").read_text(encoding="utf-8") == 'zoen = "UTC"\n'
    assert [path.name for path in home.iterdir()] == ["doorround.toml"]


def test_what_rules_toml_says_stays_there(run: Run, home: Path) -> None:
    home.mkdir(mode=0o700)
    (home / "rules.toml").write_text('rules = "nfpa-80"\n', encoding="utf-8")
    assert run("--yes", "--site", "Mill").exit_code == 0
    assert "rules" not in written(home)
    said = run("--yes", "--rules", "england-flats")
    assert said.exit_code == 2 and "rules.toml says so already" in said.stderr


def test_choices_are_made_with_the_arrow_keys_on_a_terminal(home: Path) -> None:
    ours, theirs = pty.openpty()
    env = {**os.environ, "DOORROUND_HOME": str(home), "TERM": "xterm"}
    keys = [
        ("called", b"Mill\n"),
        ("time zone", b"Europe/London\n"),
        ("Enter takes it", b"\x1b[B"),
        ("» nfpa-80:", b"\r"),
        ("○ NFPA 80", b"\x1b[B"),
        ("NFPA 80", b" "),
        ("● NFPA 80", b"\r"),
        ("gap gauge", b"\r"),
        ("token", b"\n"),
        ("backups", b"\n"),
        ("[Y/n]", b"y\n"),
    ]
    with subprocess.Popen(
        [*PROGRAM, "init"], env=env, stdin=theirs, stdout=theirs, stderr=theirs
    ) as program:
        os.close(theirs)
        try:
            for wanted, key in keys:
                _wait_for(ours, wanted)
                os.write(ours, key)
            _wait_for(ours, "doorround doctor")
            assert program.wait(timeout=60) == 0
        finally:
            program.kill()
    os.close(ours)
    assert (written(home)["rules"], written(home)["intervals"]["rules"]) == ("nfpa-80", ["NFPA 80"])


def _wait_for(handle: int, wanted: str) -> None:
    said = ""
    while wanted not in said:
        ready, _, _ = select.select([handle], [], [], 20)
        assert ready, f"waited for “{wanted}” after: {said[-300:]}"
        said += os.read(handle, 4096).decode(errors="replace")
