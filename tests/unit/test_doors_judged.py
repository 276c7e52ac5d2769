"""Whole doors and what is said of each: doors_judged.toml, read as `doorround judge` would."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from visits import CHECKLIST

from doorround.cli.door_file import DoorFile, door_file
from doorround.domain.judging.door_verdict import Judgement, judge_door, open_findings
from doorround.domain.judging.results import Result
from doorround.domain.judging.rule_sets import SETS

TABLE = tomllib.loads(Path(__file__).with_name("doors_judged.toml").read_text(encoding="utf-8"))
BASES: dict[str, Any] = TABLE["base"]
DOORS: list[dict[str, Any]] = TABLE["judged"]
FIELDS = {"name", "base", "rules_of", "door", "answers", "unanswered", "expect", "rules"}
FIELDS |= {"faults", "reason", "point", "ugly"}


def read(row: dict[str, Any]) -> DoorFile:
    """The door of a row: that of its base, with what differs; "" leaves a fact unknown."""
    base = BASES[row["base"]]
    door = {**base["door"], **row.get("door", {})}
    unseen = row.get("unanswered", ())
    answers = {**base["answers"], **row.get("answers", {})}
    given = {
        "rules": row.get("rules_of", base["rules"]),
        "door": {name: value for name, value in door.items() if value != ""},
        "answers": {key: said for key, said in answers.items() if key not in unseen},
    }
    return door_file(given, row["name"], lambda rules, _site: CHECKLIST.under(SETS[rules or ""]))


def judged(row: dict[str, Any]) -> Judgement:
    file = read(row)
    return judge_door(file.door, file.answers, file.asked)


@pytest.mark.parametrize("row", DOORS, ids=lambda row: row["name"])
def test_a_whole_door_is_judged_as_a_competent_person_would(row: dict[str, Any]) -> None:
    whole = judged(row)
    told = [f"{each.rule}: {each.severity}: {each.what}" for each in whole.findings]
    assert whole.result == row["expect"], (told, whole.not_checked)
    unknown = [each for each in whole.findings if each.severity is None and not each.made_good]
    found = {each.rule for each in (*open_findings(whole.findings), *unknown)}
    graded = {f"{each.rule}: {each.severity}" for each in open_findings(whole.findings)}
    assert set(row.get("rules", ())) <= found | graded, told
    assert whole.faults == row.get("faults", whole.faults)


def test_each_row_says_why_and_by_what_and_none_stands_twice() -> None:
    assert len({row["name"] for row in DOORS}) == len(DOORS)
    for row in DOORS:
        assert set(row) <= FIELDS, row["name"]
        assert row["reason"].endswith(".") and row["point"], row["name"]
        assert row["expect"] in list(Result), row["name"]
        if row["expect"] != Result.NOT_SHOWN:
            assert (row["expect"] == Result.FIT) == (not row.get("rules")), row["name"]


def test_no_door_is_fit_with_anything_unseen_or_graver_than_said() -> None:
    for row in DOORS:
        whole = judged(row)
        if whole.result is Result.FIT:
            assert not whole.not_checked and not [
                each for each in open_findings(whole.findings) if not each.access
            ], row["name"]
