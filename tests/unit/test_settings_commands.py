"""doorround settings: what holds and where it comes from; everything that is wrong, at once."""

from __future__ import annotations

import json
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.config.catalogue import SETTINGS
from doorround.config.schedule_settings import _READ
from doorround.config.sources import KEYS
from doorround.config.values import READERS
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.plan import Plan

Run = Callable[..., Any]
FILE = """zone = "Europe/London"
gauges = ["ruler", "stopwatch"]

[telegram]
token = "4711:abcdefgh"

[intervals]
cupboard = "2 weeks"

[reminders]
nudge_at = "09:30"
"""


@pytest.fixture
def home(tmp_path: Path) -> Path:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    return home


@pytest.fixture
def run(home: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    monkeypatch.setenv("DOORROUND_HOME", str(home))

    def run(*words: object) -> Any:
        return CliRunner().invoke(app, [str(word) for word in words])

    return run


def write(home: Path, text: str) -> Path:
    path = home / "doorround.toml"
    path.write_text(text, encoding="utf-8")
    path.chmod(stat.S_IRUSR | stat.S_IWUSR)
    return path


def shown(run: Run) -> dict[str, tuple[str, str]]:
    lines = run("settings", "show", "--json").stdout.splitlines()
    rows = [json.loads(line) for line in lines]
    return {row["name"]: (row["value"], row["source"]) for row in rows}


def test_every_setting_has_what_reads_it() -> None:
    assert set(READERS) == set(KEYS)
    tables = {(each.table, each.key.replace(" ", "_")) for each in SETTINGS if not each.variable}
    assert {key for table, key in tables if table == "reminders"} == set(_READ)
    assert {key for table, key in tables if table == "defects"} == set(Targets.model_fields)


def test_what_holds_without_a_setting_is_what_the_program_does() -> None:
    unset = {each.name: each.unset.strip("`") for each in SETTINGS}
    plan = Plan()
    assert unset["reminders.nudge_at"] == f"{plan.nudge_at:%H:%M}"
    assert unset["reminders.quiet_until"] == f"{plan.quiet_until:%H:%M}"
    for name in ("second_after", "supervisor_after", "retry_after", "escalate_after"):
        assert unset[f"reminders.{name}"] == str(getattr(plan, name))
    assert unset["defects.soon"] == str(Targets().soon)
    assert unset["defects.planned"] == str(Targets().planned)


def test_each_value_is_shown_with_where_it_comes_from(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = write(home, FILE)
    monkeypatch.setenv("DOORROUND_ENGINE", "listener")
    found = shown(run)
    assert found["zone"] == ("Europe/London", f"{path}, zone")
    assert found["engine"] == ("listener", "DOORROUND_ENGINE")
    assert found["home"] == (str(home), "DOORROUND_HOME")
    assert found["longest_note"] == ("180", "default")
    assert found["gauges"] == ("ruler, stopwatch", f"{path}, gauges")
    assert found["intervals.cupboard"] == ("2 weeks", f"{path}, intervals.cupboard")
    assert found["reminders.nudge_at"] == ("09:30", f"{path}, reminders.nudge_at")
    assert found["defects.soon"] == ("7", "default")


def test_a_variable_wins_and_the_table_says_so(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(home, FILE)
    monkeypatch.setenv("DOORROUND_ZONE", "Europe/Paris")
    assert shown(run)["zone"] == ("Europe/Paris", "DOORROUND_ZONE")


def test_no_secret_is_shown(run: Run, home: Path) -> None:
    write(home, FILE)
    for words in (("settings", "show"), ("settings", "show", "--json"), ("settings", "check")):
        assert "abcdefgh" not in run(*words).output
    assert shown(run)["telegram.token"][0] == "set, not shown"


def test_a_good_file_is_in_order(run: Run, home: Path) -> None:
    path = write(home, FILE)
    said = run("settings", "check")
    assert (said.exit_code, said.stdout) == (0, f"{path} is in order.\n")


def test_without_a_file_the_defaults_hold(run: Run) -> None:
    said = run("settings", "check")
    assert said.exit_code == 0 and said.stdout.startswith("Defaults hold; ")


def test_everything_that_is_wrong_is_told_at_once_and_leaves_with_1(
    run: Run, home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write(
        home,
        'zone = "Alder"\nlongest_note = 0\nzoen = "UTC"\n[intervals]\ncuboard = "weekly"\n'
        '[reminders]\nnudge_at = "8 o clock"\nsecond_after = 99\n[defects]\nsoon = -1\n'
        '[telegram]\ntoken = "nothing"\n',
    )
    monkeypatch.setenv("DOORROUND_ENGIN", "auto")
    said = run("settings", "check")
    assert said.exit_code == 1
    wanted = (
        "DOORROUND_ENGIN: there is no such setting. Is “DOORROUND_ENGINE” meant?",
        '"zoen". Is “zone” meant?',
        'zone: "Alder" is not a time zone',
        'longest_note: "0" is not a length',
        '[intervals] "cuboard"',
        "[reminders] nudge_at",
        "[reminders] second_after",
        "[defects] soon",
        "telegram.token: that is not a token",
    )
    lines = said.stdout.splitlines()
    for part in wanted:
        assert sum(part in line for line in lines) == 1, part
    assert len(lines) == len(wanted)


def test_what_is_wrong_only_together_is_told(run: Run, home: Path) -> None:
    write(home, '[reminders]\nnudge_at = "05:00"\nquiet_until = "07:00"\n')
    assert "nudge_at: 05:00 lies in the quiet hours" in run("settings", "check").stdout
    write(home, '[telegram]\ntoken = "4711:abcdefgh"\nwebhook_url = "https://example.org/in"\n')
    assert "WEBHOOK_SECRET is missing" in run("settings", "check").stdout


def test_own_rules_and_words_are_checked_too(run: Run, home: Path) -> None:
    (home / "rules.toml").write_text('rules = "our-own"\n', encoding="utf-8")
    said = run("settings", "check")
    assert said.exit_code == 1 and 'there is no rule set "our-own"' in said.stdout


def test_the_set_of_rules_may_stand_in_the_settings(run: Run, home: Path) -> None:
    write(home, 'rules = "nfpa-80"\n')
    assert "its own: nfpa-80" in run("rules", "list").stdout
    (home / "rules.toml").write_text('rules = "england-flats"\n', encoding="utf-8")
    said = run("rules", "list")
    assert said.exit_code == 2 and "differ over “rules”. Leave it in one of them." in said.stderr


def test_a_door_without_a_site_gets_the_one_of_the_settings(run: Run, home: Path) -> None:
    write(home, 'site = "Lantern House"\n')
    run("doors", "add", "12")
    run("doors", "add", "13", "--set", "site=Mill House")
    rows = [json.loads(line) for line in run("doors", "list", "--json").stdout.splitlines()]
    assert [(row["number"], row["site"]) for row in rows] == [
        ("12", "Lantern House"),
        ("13", "Mill House"),
    ]
