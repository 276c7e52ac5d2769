"""Every point of a published list can be reported at a door: each phrase of points_said.toml is
typed.

NFPA 80, 13 items for swinging doors with builders hardware (secondary); GOV.UK / Home Office
factsheet on regulation 10, five things. docs/judging.md shows the table that this test generates;
DOORROUND_WRITE=1 writes it.
"""

from __future__ import annotations

import os
import tomllib
from pathlib import Path
from typing import Any

import pytest
from visits import CHECKLIST, NFPA, Visit, door

from doorround.dialogue.check_summary import judgement
from doorround.domain.checklist import Checklist
from doorround.domain.judging.published_points import FACTSHEET, NFPA_80
from doorround.domain.judging.rule_set import Point
from doorround.domain.parts import part_name

HERE = Path(__file__)
SAID: list[dict[str, Any]] = tomllib.loads(
    HERE.with_name("points_said.toml").read_text(encoding="utf-8")
)["said"]
PAGE = HERE.parents[2] / "docs" / "judging.md"
LISTS: dict[str, tuple[tuple[Point, ...], Checklist]] = {
    "factsheet": (FACTSHEET, CHECKLIST),
    "NFPA 80": (NFPA_80, NFPA),
}
TITLES = {
    "factsheet": "GOV.UK / Home Office factsheet on regulation 10, five things (secondary)",
    "NFPA 80": "NFPA 80, 13 items for swinging doors with builders hardware (secondary)",
}
BEGIN = "<!-- points: made by the tests -->"
END = "<!-- end of points -->"
WHOLE = {"leaves": "pair", "glazing": "clear fire-resisting", "threshold_seal": "fitted"}


def lists_of(rule: str) -> list[tuple[str, str]]:
    """Each list and point that has a rule."""
    return [
        (name, point.name)
        for name, (points, _) in LISTS.items()
        for point in points
        if rule in point.rules
    ]


EACH = [(row, name) for row in SAID for name in dict(lists_of(row["rule"]))]


@pytest.mark.parametrize(
    ("row", "name"), EACH, ids=lambda each: each if isinstance(each, str) else each["rule"]
)
def test_a_fault_of_a_point_is_reported_by_its_phrase(row: dict[str, Any], name: str) -> None:
    fire_door = door(**{**WHOLE, "screens": "beside", **row.get("door", {})})
    fire_door = fire_door.model_copy(update={each: None for each in row.get("unknown", ())})
    visit = Visit(fire_door, checklist=LISTS[name][1]).go_to(row["at"])
    visit.type(row["phrase"])
    if visit.check.pending is not None:
        visit.type("yes")
    assert row["rule"] in [each.rule for each in judgement(visit.check).findings], visit.said


def test_every_rule_of_every_point_has_a_phrase_and_every_point_a_question() -> None:
    said = {row["rule"] for row in SAID}
    for name, (points, checklist) in LISTS.items():
        asked = {question.key for question in checklist.question}
        for point in points:
            assert set(point.rules) <= said, (name, point.name, set(point.rules) - said)
            assert set(point.questions) <= asked, (name, point.name)
    assert all(lists_of(row["rule"]) for row in SAID)


def table() -> str:
    """The published points against the questions that ask for them and phrases that report them."""
    lines = [BEGIN]
    for name, (points, checklist) in LISTS.items():
        lines += ["", f"**{TITLES[name]}**", "", "| point | questions | said, for example |"]
        lines.append("|---|---|---|")
        for point in points:
            parts = "; ".join(part_name(checklist.ask(key), checklist) for key in point.questions)
            phrases = dict.fromkeys(
                row["phrase"] for row in SAID if (name, point.name) in lists_of(row["rule"])
            )
            told = "; ".join(f"“{phrase}”" for phrase in phrases)
            lines.append(f"| {point.name}: {point.words} | {parts} | {told} |")
    return "\n".join([*lines, "", END])


def test_the_page_shows_the_points_against_the_questions() -> None:
    page = PAGE.read_text(encoding="utf-8")
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    made = f"{before}{table()}{after}"
    if os.environ.get("DOORROUND_WRITE"):
        PAGE.write_text(made, encoding="utf-8")
    assert PAGE.read_text(encoding="utf-8") == made
