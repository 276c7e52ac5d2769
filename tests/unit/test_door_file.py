"""A door and its answers from a file, judged without a logbook: the format of docs/judging.md."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from visits import CHECKLIST

from doorround.cli.door_file import DoorFile, read_door_file
from doorround.domain.judging.door_verdict import judge_door
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
        ('rules = "uk"', r'no rule set "uk"\. Use one of: england-flats'),
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
        ("rules = []", r'^door\.toml: there is no rule set "\[\]"'),
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
        ("[answers]\ngaps.sides = inf", r"gaps\.sides: inf is not a measured value"),
        (
            "[door]\nhinge_grade = 0",
            r"hinge_grade: 0 is out of range\. Write a number from 1 to 14",
        ),
        ("[door]\nleaf_width_mm = 36", r": 36 is out of range\. .* above 200 and up to 3000\."),
        ('[door]\nalarm_release = "then"', r'alarm_release: "then" is not a date\. .* 2026-03-31'),
        (
            "[answers]\nhinges.count = -3",
            r"answer hinges\.count: -3 is out of range\. .* from 0 to 8",
        ),
        (
            "[answers]\nhinges.count = 99999999999999999999",
            r"answer hinges\.count: 9+ is out of range",
        ),
        (
            '[answers]\ngaps.sides = "1/0 in"',
            r"answer gaps\.sides: '1/0 in' is not a measured value",
        ),
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
        ("[door]\nhinges = 3.5", r"door hinges: 3\.5 is not a whole number"),
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
            r"answer seals: 'purple' is not a fault of the seals\. Use one of: sound, painted",
        ),
        ("[answers]\nclear = []", r'answer clear: An empty list is not an answer\. Write "sound"'),
        ("[door]\nhinges = -3", r"door hinges: -3 is out of range"),
        ("[door]\ngap_sides_most_mm = 3000", r"door gap_sides_most_mm: 3000 is out of range"),
        ("[door]\nleaf_mass_kg = 1000000000000", r"leaf_mass_kg: 1000000000000 is out of range"),
        ('[door]\nclosr = "none"', r"door closr: there is no such field"),
        ('[door]\ncloser = "spring"', r"Use one of: overhead; .*; none, kept locked; none\.$"),
        ('[door]\nseals = "fin"', r"Use one of: .*, intumescent with brush or fin, two plain"),
        ("[door]\nalarm_release = 5", r"door alarm_release: .*write a day, such as 2026-03-31"),
        ('[answers]\nseals = [{ nam = "painted" }]', r"seals: .* is not a fault of the seals"),
        (
            "[answers]\nseals = true",
            r'answer seals: True is not an answer\. Write "sound", a fault, or a list of faults',
        ),
        (
            '[answers]\ngaps.sides = "wide"',
            r"'wide' is not a measured value\. Write \"3 mm\", \"1/8 in\" or",
        ),
        ("[answers]\ngaps.sides = true", r"answer gaps\.sides: True is not a measured value"),
        ('[answers]\ngaps.sides = "3 kg"', r"answer gaps\.sides: '3 kg': write it in mm"),
        ('[answers]\ncloser.seconds = "3 mm"', r"answer closer\.seconds: '3 mm': write it in s"),
        (
            "[answers]\nhinges.count = true",
            r"answer hinges\.count: True is not an answer\. Write a whole number",
        ),
        ("[answers]\nlock = 1", r"answer lock: 1 is not an answer\. Write true or false"),
    ],
)
def test_a_mistake_is_told_with_file_place_and_remedy(text: str, told: str) -> None:
    with pytest.raises(ValueError, match=told):
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
