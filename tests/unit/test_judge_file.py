"""A door and its answers from a file, judged without a logbook: the format of docs/judging.md."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path

import pytest
from typer.testing import CliRunner
from visits import CHECKLIST

from bot.cli import app
from bot.domain.judging.whole import judge_door
from bot.domain.meaning import CannotCheck, Condition, Count, Defect, DoesNotApply, Measure, NotMeasured, Unit, YesNo
from bot.judge_file import DoorFile, judgement_json, read_door_file
from bot.logbook.store import Logbook
from bot.private import private_home

TOP = Path(__file__).parents[2]
PAGE = (TOP / "docs" / "judging.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"```toml\n(.*?)```", PAGE, re.S)[0]


def read(text: str) -> DoorFile:
    return read_door_file(text, "door.toml", CHECKLIST)


def test_the_example_of_the_page_reads() -> None:
    file = read(EXAMPLE)
    assert (file.rules, file.door.number, str(file.door.rating)) == ("uk-premises", "12", "FD30S")
    assert file.answers == {
        "clear": Condition(),
        "seals": Condition(defects=(Defect(name="painted"),)),
        "hinges.fixings": Condition(defects=(Defect(name="screw_missing", count=2, where="top hinge"),)),
        "hinges.count": Count(number=3),
        "gaps.sides": Measure(amount=Fraction(3), unit=Unit.MM),
        "lock": YesNo(yes=True),
        "glass.here": CannotCheck(reason="covered"),
    }


@pytest.mark.parametrize(
    ("said", "amount", "unit"),
    [
        ('"1/8 in"', "1/8", "in"),
        ('"1 1/8 in"', "9/8", "in"),
        ('"3.5"', "3.5", "mm"),
        ("3.5", "3.5", "mm"),
        ("4", "4", "mm"),
        ('"4mm"', "4", "mm"),
    ],
)
def test_a_measured_value_is_read_exactly(said: str, amount: str, unit: str) -> None:
    assert read(f"[answers]\ngaps.sides = {said}").answers == {
        "gaps.sides": Measure(amount=Fraction(amount), unit=Unit(unit))
    }


def test_what_was_not_seen_is_read_as_that() -> None:
    file = read(
        '[answers]\nseals = "not checked"\ngaps.sides = "not measured"\nglass.here = "does not apply: no glass"'
    )
    assert file.answers == {
        "seals": CannotCheck(),
        "gaps.sides": NotMeasured(),
        "glass.here": DoesNotApply(reason="no glass"),
    }


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[answers", r"^door\.toml is not TOML"),
        ("[dor]", r'^door\.toml: there is no "dor" here\. Use rules, \[door\] and \[answers\]'),
        ('rules = "uk"', r'no set of rules "uk"\. Use one of: england-flats'),
        ('[door]\nrating = "FD3O"', r'^door\.toml, door rating: "FD3O" is not a fire rating\. Use FD30'),
        ("[door]\ncolour = 1", r"^door\.toml, door colour: Extra inputs"),
        ("[answers]\nhinge = 3", r'no question "hinge"\. Use one of: .*hinges\.count.*closer\.seconds'),
        (
            '[answers]\nseals = "purple"',
            r"answer seals: 'purple' is no fault of the seals\. Use one of: sound, painted",
        ),
        ('[answers]\nseals = [{ nam = "painted" }]', r"answer seals: .* is no fault of the seals"),
        ("[answers]\nseals = true", r'answer seals: True is no answer\. Write "sound", a fault, or a list of faults'),
        ('[answers]\ngaps.sides = "wide"', r"'wide' is no measured value\. Write \"3 mm\", \"1/8 in\" or"),
        ("[answers]\ngaps.sides = true", r"answer gaps\.sides: True is no measured value"),
        ('[answers]\ngaps.sides = "3 kg"', r"answer gaps\.sides: '3 kg': write it in mm"),
        ('[answers]\ncloser.seconds = "3 mm"', r"answer closer\.seconds: '3 mm': write it in s"),
        ("[answers]\nhinges.count = true", r"answer hinges\.count: True is no answer\. Write a whole number"),
        ("[answers]\nlock = 1", r"answer lock: 1 is no answer\. Write true or false"),
    ],
)
def test_a_mistake_is_told_with_file_place_and_remedy(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read(text)


def test_every_field_of_the_json_stands_in_the_page() -> None:
    file = read(EXAMPLE)
    told = judgement_json(file.door, judge_door(file.door, file.answers, CHECKLIST), CHECKLIST)
    json.dumps(told)
    table = PAGE.split("`--json` gives one object a file:")[1]
    named = set(re.findall(r"`(\w+)`", table))
    assert {*told, *told["findings"][0]} <= named
    painted = next(each for each in told["findings"] if each["rule"] == "seals.painted")
    assert (painted["days"], painted["across"], painted["severity"]) == (28, False, "planned")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("DOORROUND_HOME", str(tmp_path))
    (tmp_path / "door.toml").write_text('[door]\nsite = "Yard"\n[answers]\nclear = "wedged"\nsign.here = "missing"\n')
    return tmp_path


def run(*words: str) -> str:
    result = CliRunner().invoke(app, list(words))
    assert result.exit_code == 0, result.output
    return result.output


def test_judge_tells_result_findings_sources_and_the_limit_of_a_simple_check(home: Path) -> None:
    said = run("judge", str(home / "door.toml"))
    assert said.startswith("Door 1, by United Kingdom, workplaces and other premises. Out of action as a fire door: ")
    assert "act now     clear.wedged: wedged open." in said and "(secondary)]" in said
    assert said.rstrip().endswith(CHECKLIST.caution)


def test_the_set_is_that_of_the_command_else_the_file_else_the_site(home: Path) -> None:
    file = str(home / "door.toml")
    (home / "rules.toml").write_text('[site]\nYard = "nfpa-80"\n')
    assert json.loads(run("judge", file, "--json"))["rules"] == "nfpa-80"
    assert "sign.missing" not in run("judge", file)
    assert json.loads(run("judge", file, "--json", "--set", "england-flats"))["rules"] == "england-flats"
    (home / "named.toml").write_text('rules = "uk-premises"\n[door]\nsite = "Yard"\n')
    assert json.loads(run("judge", str(home / "named.toml"), "--json"))["rules"] == "uk-premises"


def test_a_loosened_rule_is_told_with_the_judgement_and_the_rules(home: Path) -> None:
    (home / "rules.toml").write_text('off = ["sign.missing"]\n')
    for words in (["judge", str(home / "door.toml")], ["rules", "list"]):
        assert "Made milder by your own rules: sign.missing: not used." in run(*words)


def test_rules_are_listed_and_shown_with_source_limits_and_example(home: Path) -> None:
    assert "clear.wedged" in run("rules", "list") and "door.several" in run("rules", "list", "--json")
    shown = run("rules", "show", "gaps.too_wide", "--set", "nfpa-80")
    assert "1/8 in" in shown and "NFPA 80, 6.3.1.7" in shown and "6: clearances within limits" in shown
    assert json.loads(run("rules", "show", "seals.one_strip", "--set", "nfpa-80", "--json"))["severity"] is None
    failed = CliRunner().invoke(app, ["rules", "show", "purple"])
    assert failed.exit_code == 2 and 'There is no rule "purple"' in failed.output


def test_nothing_stands_out_in_an_empty_logbook(home: Path) -> None:
    private_home(home)
    Logbook.open(home / "logbook.db").close()
    assert run("logbook", "questions") == "Nothing stands out.\n"
