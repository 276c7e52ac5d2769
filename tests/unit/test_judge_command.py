"""`doorround judge` and `doorround rules`: files judged, rules listed and shown."""

from __future__ import annotations

import json
import re
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner
from visits import CHECKLIST

from doorround.cli.app import app
from doorround.cli.door_file import DoorFile, read_door_file
from doorround.cli.judged_file import judgement_json, on_day
from doorround.config.data_folder import private_home
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import judge_door
from doorround.domain.judging.rule_sets import SETS
from doorround.logbook.store import Logbook

TOP = Path(__file__).parents[2]
PAGE = (TOP / "docs" / "judging.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"```toml\n(.*?)```", PAGE, re.S)[0]


def read(text: str) -> DoorFile:
    return read_door_file(
        text, "door.toml", lambda rules, _site: CHECKLIST.under(SETS[rules]) if rules else CHECKLIST
    )


def test_every_field_of_the_json_stands_in_the_page() -> None:
    file = read(EXAMPLE)
    told = judgement_json(file.door, judge_door(file.door, file.answers, CHECKLIST), CHECKLIST)
    json.dumps(told)
    table = PAGE.split("`--json` gives one object a file:")[1]
    named = set(re.findall(r"`(\w+)`", table))
    assert {*told, *told["findings"][0]} <= named
    painted = next(each for each in told["findings"] if each["rule"] == "seals.painted")
    assert (painted["days"], painted["across"], painted["severity"]) == (7, False, "soon")


def test_one_bad_file_does_not_stop_the_rest(home: Path) -> None:
    (home / "bad.toml").write_bytes(b"\xff\xfe[\x00d\x00")
    (home / "worse.toml").write_text("[door")
    (home / "bom.toml").write_bytes(b"\xef\xbb\xbf" + (home / "door.toml").read_bytes())
    names = ("bad.toml", "door.toml", "worse.toml", "none.toml", "bom.toml")
    done = CliRunner().invoke(app, ["judge", *(str(home / name) for name in names)])
    assert done.exit_code == 2
    assert done.output.count("Out of action as a fire door") == 2
    assert re.search(r"bad\.toml is not text: byte 0 is not UTF-8\. Save it as UTF-8", done.output)
    assert "worse.toml is not TOML" in done.output and "none.toml is not there" in done.output
    assert "Traceback" not in done.output


def test_the_set_of_the_command_goes_before_that_of_the_file(home: Path) -> None:
    (home / "door.toml").write_text("rules = 'uk-premises'\n[answers]\ngaps.threshold = 1\n")
    for rules, words in (("nfpa-80", "1 in, 3/4 in allowed"), ("nfpa-80-2016", "3/4 in allowed")):
        assert words in run("judge", "--set", rules, str(home / "door.toml"))


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    (tmp_path / "door.toml").write_text(
        '[door]\nsite = "Yard"\n[answers]\nclear = "wedged"\nsign.here = "missing"\n'
    )
    return tmp_path


def run(*words: str) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == 0, result.output
    return result.output


def test_judge_tells_result_findings_sources_and_the_limit_of_a_simple_check(home: Path) -> None:
    said = run("judge", str(home / "door.toml"))
    assert said.startswith(
        "Door 1, by United Kingdom, workplaces and other premises. Out of action as a fire door: "
    )
    assert "act now     clear.wedged: wedged open." in said and "(secondary)]" in said
    assert said.rstrip().endswith(CHECKLIST.caution)


def test_the_set_is_that_of_the_command_else_the_file_else_the_site(home: Path) -> None:
    file = str(home / "door.toml")
    (home / "rules.toml").write_text('[site]\nYard = "nfpa-80"\n')
    assert json.loads(run("judge", file, "--json"))["rules"] == "nfpa-80"
    assert "sign.missing" not in run("judge", file)
    assert (
        json.loads(run("judge", file, "--json", "--set", "england-flats"))["rules"]
        == "england-flats"
    )
    (home / "named.toml").write_text('rules = "uk-premises"\n[door]\nsite = "Yard"\n')
    assert json.loads(run("judge", str(home / "named.toml"), "--json"))["rules"] == "uk-premises"


def test_bare_numbers_mean_the_same_by_the_file_the_command_and_the_site(home: Path) -> None:
    answers = "[answers]\ngaps.threshold = 1\n"
    (home / "rules.toml").write_text('[site]\nYard = "nfpa-80"\n')
    files = {
        "named": 'rules = "nfpa-80"\n' + answers,
        "site": '[door]\nsite = "Yard"\n' + answers,
        "bare": answers,
    }
    for name, text in files.items():
        (home / f"{name}.toml").write_text(text)
        more = ["--set", "nfpa-80"] if name == "bare" else []
        said = run("judge", str(home / f"{name}.toml"), *more)
        assert "gaps.threshold_too_wide: 1 in, 3/4 in allowed" in said, said


def test_a_file_that_is_no_text_is_told(home: Path) -> None:
    (home / "odd.toml").write_bytes(b"\xff\xfe")
    failed = CliRunner().invoke(app, ["judge", str(home / "odd.toml")])
    assert failed.exit_code == 2 and "odd.toml is not text: byte 0 is not UTF-8" in failed.output


def test_a_loosened_rule_is_told_with_the_judgement_and_the_rules(home: Path) -> None:
    (home / "rules.toml").write_text('off = ["sign.missing"]\n')
    for words in (["judge", str(home / "door.toml")], ["rules", "list"]):
        assert "Relaxed by your own rules: sign.missing: not used." in run(*words)


def test_rules_are_listed_and_shown_with_source_limits_and_example(home: Path) -> None:
    assert "clear.wedged" in run("rules", "list") and "door.several" in run(
        "rules", "list", "--json"
    )
    shown = run("rules", "show", "gaps.too_wide", "--set", "nfpa-80")
    assert (
        "1/8 in" in shown
        and "NFPA 80-2022, 6.3.1.7" in shown
        and "6: clearances within limits" in shown
    )
    assert (
        json.loads(run("rules", "show", "seals.one_strip", "--set", "nfpa-80", "--json"))[
            "severity"
        ]
        is None
    )
    failed = CliRunner().invoke(app, ["rules", "show", "purple"])
    assert failed.exit_code == 2 and 'There is no rule "purple"' in failed.output


def test_nothing_stands_out_in_an_empty_logbook(home: Path) -> None:
    private_home(home)
    Logbook.open(home / "logbook.db").close()
    assert run("logbook", "questions") == "Nothing stands out.\n"


def test_an_alarm_test_of_years_ago_or_to_come_shows_nothing(home: Path) -> None:
    held = Door(number="1", hold_open="alarm-linked", alarm_release="2026-03-02")
    assert on_day(held, date(2026, 9, 1)) == (held, ())
    for today, why in ((date(2027, 3, 3), "too long ago"), (date(2026, 3, 1), "still to come")):
        door, told = on_day(held, today)
        assert door.alarm_release is None
        assert told == (f"Alarm test of 2026-03-02: {why}, so it shows nothing.",)
    (home / "held.toml").write_text(
        '[door]\nhold_open = "alarm-linked"\nalarm_release = "2001-01-01"\n'
    )
    given = json.loads(run("judge", str(home / "held.toml"), "--json"))
    assert "alarm_release" in given["not_checked"]
    assert "Alarm test of 2001-01-01: too long ago, so it shows nothing." in given["evidence"]
