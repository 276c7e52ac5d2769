"""A door and its answers from a file, judged without a logbook: the format of docs/judging.md."""

from __future__ import annotations

import contextlib
import json
import os
import re
from datetime import date, time
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from typer.testing import CliRunner
from visits import CHECKLIST

from doorround.cli.app import app
from doorround.cli.door_file import DoorFile, read_door_file
from doorround.cli.judged_file import judgement_json, on_day
from doorround.config.data_folder import private_home
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import judge_door
from doorround.domain.judging.optional_questions import EXTRAS
from doorround.domain.judging.results import Result
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.values import (
    CannotCheck,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    YesNo,
)
from doorround.logbook.store import Logbook

TOP = Path(__file__).parents[2]
PAGE = (TOP / "docs" / "judging.md").read_text(encoding="utf-8")
EXAMPLE = re.findall(r"```toml\n(.*?)```", PAGE, re.S)[0]


def read(text: str) -> DoorFile:
    return read_door_file(
        text, "door.toml", lambda rules, _site: CHECKLIST.under(SETS[rules]) if rules else CHECKLIST
    )


def test_the_example_of_the_page_reads() -> None:
    file = read(EXAMPLE)
    assert (file.rules, file.door.number, str(file.door.rating)) == ("uk-premises", "12", "FD30S")
    assert file.answers == {
        "clear": Condition(),
        "seals": Condition(defects=(Defect(name="painted"),)),
        "hinges.fixings": Condition(
            defects=(Defect(name="screw_missing", count=2, where="top hinge"),)
        ),
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
        ('" 3 mm "', "3", "mm"),
        ('"3 MM"', "3", "mm"),
        ("'1/8\"'", "1/8", "in"),
        ('"1/8 inch"', "1/8", "in"),
    ],
)
def test_a_measured_value_is_read_exactly(said: str, amount: str, unit: str) -> None:
    assert read(f"[answers]\ngaps.sides = {said}").answers == {
        "gaps.sides": Measure(amount=Fraction(amount), unit=Unit(unit))
    }


def test_what_was_not_seen_is_read_as_that() -> None:
    file = read(
        '[answers]\nseals = "not checked"\ngaps.sides = "not measured"\nglass.here = "does not'
        ' apply: no glass"'
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
        (
            '[door]\nrating = "FD3O"',
            r'^door\.toml, door rating: "FD3O" is not a fire rating\. Use FD30',
        ),
        (
            "[door]\ncolour = 1",
            (
                r"^door\.toml, door colour: there is no such field\. Use one of: number, site,"
                r" .*evidence_seals"
            ),
        ),
        ("rules = []", r'^door\.toml: there is no set of rules "\[\]"'),
        ("door = 5", r"^door\.toml: door is a table\. Write \[door\]"),
        ("answers = []", r"^door\.toml: answers is a table\. Write \[answers\]"),
        (
            "[answers]\ngaps.sides = 1e12",
            r"gaps\.sides: 1000000000000\.0 is out of range\. .* 300 mm",
        ),
        (
            "[answers]\ngaps.sides = 1000000000000",
            r"1000000000000 is out of range\. .* 0 and 300 mm",
        ),
        ("[answers]\ngaps.sides = inf", r"gaps\.sides: inf is no measured value"),
        (
            "[door]\nhinge_grade = 0",
            r"hinge_grade: 0 is out of range\. Write a number from 1 to 14",
        ),
        ("[door]\nleaf_width_mm = 36", r": 36 is out of range\. .* above 200 and up to 3000\."),
        ('[door]\nalarm_release = "then"', r'alarm_release: "then" is no day\. .* 2026-03-31'),
        (
            "[answers]\nhinges.count = -3",
            r"answer hinges\.count: -3 is out of range\. .* from 0 to 8",
        ),
        (
            "[answers]\nhinges.count = 99999999999999999999",
            r"answer hinges\.count: 9+ is out of range",
        ),
        ('[answers]\ngaps.sides = "1/0 in"', r"answer gaps\.sides: '1/0 in' is no measured value"),
        (
            '[answers]\ngaps.sides = "100 in"',
            r"answer gaps\.sides: '100 in' is out of range\. .* 0 and 11\.8 in\.$",
        ),
        (
            'rules = "nfpa-80"\n[answers]\ngaps.head_lock = 12',
            r"answer gaps\.head_lock: 12 is out of range\. .* 0 and 11\.8 in\.$",
        ),
        (
            'rules = "nfpa-80"\n[answers]\ngaps.threshold = 100',
            r"answer gaps\.threshold: 100 is out of range\. .* 0 and 11\.8 in\.$",
        ),
        (
            'rules = "nfpa-80"\n[answers]\ngaps.threshold = "400 mm"',
            r"'400 mm' is out of range\. .* 0 and 300 mm\.$",
        ),
        ("[answers]\ngaps.head_lock = 301", r"answer gaps\.head_lock: 301 is out of range"),
        (
            '[answers]\ncloser.seconds = "99999 s"',
            r"closer\.seconds: '99999 s' is out of range\. .* 0 and 600 s",
        ),
        (
            '[answers]\ncloser.force_low = "9000 lbf"',
            r"'9000 lbf' is out of range\. .* 0 and 449\.6 lbf\.$",
        ),
        (
            '[answers]\nregister.closer = "banana"',
            r'register\.closer: "banana" cannot be\. Use one of: overhead; .*',
        ),
        (
            "[door]\nleaf_width_mm = 9000",
            r"door leaf_width_mm: 9000 is out of range\. Write a number above 200 and up to 3000",
        ),
        ("[door]\nhinges = 3.5", r"door hinges: 3\.5 is no whole number"),
        (
            '[answers]\nseals = [{ name = "painted", count = -1 }]',
            r"answer seals: -1 is out of range",
        ),
        ("[answers]\na" + ".a" * 3000 + " = 1", r"^door\.toml: .* too deep"),
        ("door = " + "[" * 5000 + "]" * 5000, r"^door\.toml: .* too deep"),
        ("[door]\nhinges = " + "9" * 5000, r"^door\.toml is not TOML: "),
        (
            "[answers]\nhinge = 3",
            r'no question "hinge"\. Use one of: .*hinges\.count.*closer\.seconds',
        ),
        (
            '[answers]\nseals = "purple"',
            r"answer seals: 'purple' is no fault of the seals\. Use one of: sound, painted",
        ),
        ("[answers]\nclear = []", r'answer clear: An empty list says nothing\. Write "sound"'),
        ("[door]\nhinges = -3", r"door hinges: -3 is out of range"),
        ("[door]\ngap_sides_most_mm = 3000", r"door gap_sides_most_mm: 3000 is out of range"),
        ("[door]\nleaf_mass_kg = 1000000000000", r"leaf_mass_kg: 1000000000000 is out of range"),
        ('[door]\nclosr = "none"', r"door closr: there is no such field"),
        ('[door]\ncloser = "spring"', r"Use one of: overhead; .*; none, kept locked; none\.$"),
        ('[door]\nseals = "fin"', r"Use one of: .*, intumescent with brush or fin, two plain"),
        ("[door]\nalarm_release = 5", r"door alarm_release: .*write a day, such as 2026-03-31"),
        ('[answers]\nseals = [{ nam = "painted" }]', r"answer seals: .* is no fault of the seals"),
        (
            "[answers]\nseals = true",
            r'answer seals: True is no answer\. Write "sound", a fault, or a list of faults',
        ),
        (
            '[answers]\ngaps.sides = "wide"',
            r"'wide' is no measured value\. Write \"3 mm\", \"1/8 in\" or",
        ),
        ("[answers]\ngaps.sides = true", r"answer gaps\.sides: True is no measured value"),
        ('[answers]\ngaps.sides = "3 kg"', r"answer gaps\.sides: '3 kg': write it in mm"),
        ('[answers]\ncloser.seconds = "3 mm"', r"answer closer\.seconds: '3 mm': write it in s"),
        (
            "[answers]\nhinges.count = true",
            r"answer hinges\.count: True is no answer\. Write a whole number",
        ),
        ("[answers]\nlock = 1", r"answer lock: 1 is no answer\. Write true or false"),
    ],
)
def test_a_mistake_is_told_with_file_place_and_remedy(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read(text)


KEYS = st.sampled_from(
    [*(each.key for each in CHECKLIST.question), *EXTRAS, "door", "rules", "answers", "x"]
)
WORDS = st.sampled_from(
    ["3 mm", "1/0 in", "1/8 in", "sound", "not checked", "painted", "unknown", "FD30S", "\x1b[2J"]
)
SCALARS = st.one_of(
    WORDS,
    st.text(max_size=12),
    st.integers(),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.times(),
    st.sampled_from([-3, 0, 10**30, float("nan"), float("inf")]),
)
DEFECTS = st.dictionaries(
    st.sampled_from(["name", "count", "where", "made_good", "nam"]), SCALARS, max_size=3
)
VALUES = st.one_of(SCALARS, st.lists(SCALARS | DEFECTS, max_size=3), DEFECTS)
FIELDS = st.dictionaries(st.sampled_from([*Door.model_fields, "colour"]), SCALARS, max_size=4)
LIKELY = {
    "measure": ["3", 1.5, "1/8 in", "not measured"],
    "count": [3, 0],
    "yes_no": [True, False],
    "choice": ["unknown", "none"],
    "condition": ["sound", "damaged", "missing", "not checked: far"],
}
PAIRS = [
    (key, said)
    for key in (each.key for each in CHECKLIST.question)
    for said in LIKELY[CHECKLIST.ask(key).kind]
]
LIKELY_FILES = st.fixed_dictionaries(
    {
        "door": st.dictionaries(
            st.sampled_from(["hinges", "closer_size"]), st.integers(1, 9), max_size=2
        )
    },
    optional={
        "rules": st.sampled_from([*SETS]),
        "answers": st.lists(st.sampled_from(PAIRS), max_size=4).map(dict),
    },
)
FILES = LIKELY_FILES | st.fixed_dictionaries(
    {},
    optional={
        "rules": st.sampled_from([*SETS, "uk"]) | VALUES,
        "door": FIELDS | VALUES,
        "answers": st.dictionaries(KEYS, VALUES, max_size=5) | VALUES,
        "more": VALUES,
    },
)


def toml_value(value: object) -> str:
    match value:
        case bool():
            return str(value).lower()
        case dict():
            return (
                "{"
                + ", ".join(
                    f"{json.dumps(key)} = {toml_value(each)}" for key, each in value.items()
                )
                + "}"
            )
        case list():
            return "[" + ", ".join(map(toml_value, value)) + "]"
        case str():
            return json.dumps(value)
        case date() | time():
            return value.isoformat()
    return repr(value)


MANY = int(os.environ.get("DOORROUND_FUZZ", "400"))
"""Files made up in a run of the tests; docs/judging.md says how to try more."""


@settings(max_examples=MANY, deadline=None, suppress_health_check=list(HealthCheck))
@given(FILES)
def test_no_file_ends_in_anything_but_a_judgement_or_a_line_that_names_it(
    given_file: dict[str, object],
) -> None:
    text = "\n".join(f"{key} = {toml_value(value)}" for key, value in given_file.items())
    try:
        file = read(text)
    except ValueError as error:
        assert str(error).startswith("door.toml"), error
        return
    whole = judge_door(file.door, file.answers, file.asked)
    json.dumps(judgement_json(file.door, whole, file.asked))
    if whole.result is Result.FIT:
        assert whole.faults == 0 and not whole.not_checked


@settings(max_examples=200, deadline=None, suppress_health_check=list(HealthCheck))
@given(st.text())
def test_no_text_ends_in_anything_but_a_line_that_names_the_file(text: str) -> None:
    with contextlib.suppress(ValueError):
        read(text)


@pytest.mark.parametrize(
    ("rules", "unit", "fit"), [("nfpa-80", "in", False), ("uk-premises", "mm", True)]
)
def test_bare_numbers_are_in_the_unit_of_the_rules_that_the_file_names(
    rules: str, unit: str, fit: bool
) -> None:
    file = read(f'rules = "{rules}"\n[answers]\ngaps.threshold = 1\ngaps.head_lock = 1\n')
    for key in ("gaps.threshold", "gaps.head_lock"):
        assert file.answers[key] == Measure(amount=Fraction(1), unit=Unit(unit))
    found = judge_door(
        file.door, {"gaps.threshold": file.answers["gaps.threshold"]}, file.asked
    ).findings
    assert (found == ()) is fit


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
    assert re.search(r"bad\.toml is no text: byte 0 is not UTF-8\. Save it as UTF-8", done.output)
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
    assert failed.exit_code == 2 and "odd.toml is no text: byte 0 is not UTF-8" in failed.output


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
