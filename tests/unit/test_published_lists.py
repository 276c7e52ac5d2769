"""The published lists of what is looked at: each thing is asked of a door, and each fault there is
found by a rule.

NFPA 80, 13 items for swinging doors with builders hardware (secondary); GOV.UK / Home Office
factsheet on regulation 10 of the Fire Safety (England) Regulations 2022, five things. The words of
both stand in test_references.py.
"""

from __future__ import annotations

from typing import Any

import pytest
from visits import CHECKLIST, FLATS, NFPA, door

from doorround.cli.door_file import value_of
from doorround.domain.checklist import Checklist
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.published_points import FACTSHEET, NFPA_80

# Point → the questions that ask for it.
ASKED = {
    "NFPA 80": {
        "1": "label",
        "2": "leaf.here leaf.beyond frame.here frame.beyond latch",
        "3": "glass.here glass.beyond",
        "4": "leaf.here leaf.beyond frame.here frame.beyond hinges.fixings latch threshold",
        "5": "hinges.count hinges.fixings latch frame.here leaf.here leaf.beyond closer.full",
        "6": "gaps.sides gaps.meeting gaps.threshold",
        "7": "closer.full",
        "8": "coordinator",
        "9": "latch",
        "10": "leaf.here leaf.beyond clear",
        "11": "leaf.here leaf.beyond",
        "12": "seals leaf.here leaf.beyond",
        "13": "sign.here sign.beyond",
    },
    "factsheet": {
        "1": "glass.here glass.beyond mark screens leaf.here leaf.beyond",
        "2": (
            "gaps.sides gaps.threshold frame.here frame.beyond seals hinges.count hinges.fixings"
        ),
        "3": "closer.full closer.ajar",
        "4": "closer.full closer.ajar leaf.here leaf.beyond",
        "5": "leaf.here leaf.beyond frame.here frame.beyond closer.full",
    },
}

# Point, question, what is answered there, the rule that finds it.
NFPA_ROWS: list[tuple[str, str, Any, str]] = [
    ("1", "label", "missing", "label.missing"),
    ("1", "label", "unreadable", "label.unreadable"),
    ("2", "leaf.here", "hole", "leaf.hole"),
    ("2", "leaf.beyond", "split", "leaf.split"),
    ("2", "frame.here", "hole", "frame.hole"),
    ("2", "frame.beyond", "split", "frame.split"),
    ("2", "leaf.here", "plain_grille", "leaf.plain_grille"),
    ("2", "latch", "hole", "latch.hole"),
    ("3", "glass.here", "cracked", "glass.cracked"),
    ("3", "glass.here", "broken", "glass.broken"),
    ("3", "glass.beyond", "loose", "glass.loose"),
    ("3", "glass.beyond", "bead_loose", "glass.bead_loose"),
    ("3", "glass.beyond", "bead_broken", "glass.bead_broken"),
    ("3", "glass.here", "glazing_seal", "glass.glazing_seal"),
    ("4", "leaf.here", "damaged", "leaf.damaged"),
    ("4", "leaf.here", "dropped", "leaf.dropped"),
    ("4", "frame.here", "loose", "frame.loose"),
    ("4", "hinges.fixings", "loose", "hinges.loose"),
    ("4", "latch", "loose", "latch.loose"),
    ("4", "threshold", "damaged", "threshold.damaged"),
    ("4", "leaf.beyond", "warped", "leaf.warped"),
    ("4", "frame.here", "bent", "frame.bent"),
    ("4", "frame.here", "threshold", "frame.threshold"),
    ("4", "frame.beyond", "combustible_floor", "frame.combustible_floor"),
    ("4", "hinges.fixings", "wrong_screws", "hinges.wrong_screws"),
    ("5", "hinges.count", 2, "hinges.too_few"),
    ("5", "hinges.fixings", "screw_missing", "hinges.screw_missing"),
    ("5", "hinges.fixings", "broken", "hinges.broken"),
    ("5", "latch", "missing", "latch.missing"),
    ("5", "frame.here", "stop", "frame.stop"),
    ("5", "hinges.fixings", "hinge_missing", "hinges.hinge_missing"),
    ("5", "leaf.here", "parts_missing", "leaf.parts_missing"),
    ("5", "closer.full", "missing", "closer.missing"),
    ("5", "closer.full", "broken", "closer.broken"),
    ("6", "gaps.sides", "1/4 in", "gaps.too_wide"),
    ("6", "gaps.meeting", "1/4 in", "gaps.meeting_too_wide"),
    ("6", "gaps.threshold", "1 in", "gaps.threshold_too_wide"),
    ("7", "closer.full", "not_closing", "closer.not_closing"),
    ("7", "closer.full", "stops_short", "closer.stops_short"),
    ("7", "register.closer", "none", "register.no_closer"),
    ("8", "coordinator", "wrong_order", "coordinator.wrong_order"),
    ("9", "latch", "not_latching", "latch.not_latching"),
    ("9", "latch", "broken", "latch.broken"),
    ("9", "latch", "bolt", "latch.bolt"),
    ("10", "leaf.here", "hardware", "leaf.hardware"),
    ("10", "clear", "fixed", "clear.fixed"),
    ("11", "leaf.beyond", "altered", "leaf.altered"),
    ("12", "seals", "missing", "seals.missing"),
    ("12", "seals", "damaged", "seals.damaged"),
    ("12", "seals", "painted", "seals.painted"),
    ("12", "seals", "part_missing", "seals.part_missing"),
    ("12", "seals", "loose", "seals.loose"),
    ("12", "leaf.here", "meeting_edge", "leaf.meeting_edge"),
    ("13", "sign.here", "too_big", "sign.too_big"),
    ("13", "sign.here", "unreadable", "sign.unreadable"),
    ("13", "sign.beyond", "damaged", "sign.damaged"),
]
FACTSHEET_ROWS: list[tuple[str, str, Any, str]] = [
    ("1", "glass.here", "cracked", "glass.cracked"),
    ("1", "glass.here", "broken", "glass.broken"),
    ("1", "glass.beyond", "hole", "glass.hole"),
    ("1", "glass.beyond", "wrong", "glass.wrong"),
    ("1", "mark", False, "mark.unmarked"),
    ("1", "leaf.here", "altered", "leaf.altered"),
    ("1", "screens", "cracked", "screens.cracked"),
    ("1", "screens", "broken", "screens.broken"),
    ("1", "leaf.here", "grille", "leaf.grille"),
    ("1", "leaf.beyond", "plain_grille", "leaf.plain_grille"),
    ("1", "leaf.here", "not_fire_door", "leaf.not_fire_door"),
    ("2", "gaps.sides", "5 mm", "gaps.too_wide"),
    ("2", "gaps.threshold", "12 mm", "gaps.threshold_too_wide"),
    ("2", "seals", "missing", "seals.missing"),
    ("2", "seals", "sound", "seals.no_smoke_seal"),
    ("2", "hinges.count", 2, "hinges.too_few"),
    ("2", "hinges.fixings", "screw_missing", "hinges.screw_missing"),
    ("2", "hinges.fixings", "wrong_screws", "hinges.wrong_screws"),
    ("2", "frame.here", "wall_gap", "frame.wall_gap"),
    ("3", "closer.full", "not_closing", "closer.not_closing"),
    ("3", "closer.ajar", "not_closing", "closer.not_closing"),
    ("3", "register.closer", "none", "register.no_closer"),
    ("4", "closer.full", "stops_short", "closer.stops_short"),
    ("4", "closer.ajar", "stops_short", "closer.stops_short"),
    ("4", "leaf.beyond", "binding", "leaf.binding"),
    ("4", "leaf.here", "warped", "leaf.warped"),
    ("5", "leaf.here", "damaged", "leaf.damaged"),
    ("5", "leaf.beyond", "hole", "leaf.hole"),
    ("5", "frame.here", "damaged", "frame.damaged"),
    ("5", "closer.full", "broken", "closer.broken"),
    ("5", "closer.full", "leaking", "closer.leaking"),
]
LISTS = {"NFPA 80": (NFPA_80, NFPA_ROWS), "factsheet": (FACTSHEET, FACTSHEET_ROWS)}
# A door that has every part that the lists name; its plain strip is no smoke seal.
WHOLE = door(
    leaves="pair",
    glazing="clear fire-resisting",
    threshold_seal="fitted",
    seals="plain intumescent",
    screens="beside",
)
EACH_ROW = [
    *((NFPA, *row) for row in NFPA_ROWS),
    *((checklist, *row) for checklist in (CHECKLIST, FLATS) for row in FACTSHEET_ROWS),
]


@pytest.mark.parametrize("name", LISTS)
def test_each_point_has_its_questions_and_its_rules_and_none_is_lost(name: str) -> None:
    points, rows = LISTS[name]
    assert (
        [point.name for point in points]
        == list(ASKED[name])
        == list(dict.fromkeys(row[0] for row in rows))
    )
    for point in points:
        assert point.questions == tuple(ASKED[name][point.name].split())
        used = {
            key for number, key, _, _ in rows if number == point.name and key != "register.closer"
        }
        assert used <= set(point.questions)
        assert set(point.rules) == {rule for number, _, _, rule in rows if number == point.name}


@pytest.mark.parametrize("checklist", [NFPA, CHECKLIST, FLATS], ids=lambda each: each.rules.key)
def test_a_door_that_has_the_part_is_asked_for_every_point(checklist: Checklist) -> None:
    asked = {question.key for question in checklist.for_door(WHOLE)}
    for questions in ASKED["NFPA 80" if checklist is NFPA else "factsheet"].values():
        assert set(questions.split()) <= asked


@pytest.mark.parametrize(
    ("checklist", "point", "key", "said", "rule"),
    EACH_ROW,
    ids=lambda each: each.rules.key if isinstance(each, Checklist) else str(each),
)
def test_each_fault_of_a_point_is_found_and_is_no_pass(
    checklist: Checklist, point: str, key: str, said: Any, rule: str
) -> None:
    question = checklist.ask(key)
    assert question.kind != "choice" or checklist.asks(
        question, WHOLE.model_copy(update={"closer": None})
    )
    whole = judge_door(WHOLE, {key: value_of(said, question, checklist)}, checklist)
    (finding,) = [each for each in whole.findings if each.rule == rule]
    assert finding.severity is not None and finding.question == key
    assert whole.result in (Result.NOT_SHOWN, Result.OUT_OF_ACTION)
