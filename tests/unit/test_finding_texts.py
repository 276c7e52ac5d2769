"""What each rule of judging says, word for word: findings.toml."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from visits import CHECKLIST

from doorround.cli.door_file import value_of
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import judge_door
from doorround.domain.judging.optional_questions import question_of
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_sets import SETS

ROWS = tomllib.loads(Path(__file__).with_name("findings.toml").read_text(encoding="utf-8"))[
    "finding"
]
TOLD = ("rule", "severity", "what", "why", "do_now", "source")


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['rule']}: {row['what']}")
def test_a_finding_says_what_why_what_to_do_and_where_that_is_published(
    row: dict[str, Any],
) -> None:
    checklist = CHECKLIST.under(SETS[row.get("rules", "uk-premises")])
    fire_door = Door.model_validate({"number": "1", **row.get("door", {})})
    answers = {
        key: value_of(said, question_of(key, checklist), checklist)
        for key, said in row["answers"].items()
    }
    found = [
        each
        for each in judge_door(fire_door, answers, checklist).findings
        if each.rule == row["rule"]
    ]
    assert [{name: getattr(each, name) for name in TOLD} for each in found] == [
        {name: row.get(name) for name in TOLD}
    ]


def test_every_rule_has_a_row() -> None:
    assert set(ALL_RULES) <= {row["rule"] for row in ROWS}
