"""The published lists of what is looked at, whole: each thing is asked and judged."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, FLATS, NFPA, door

from doorround.domain.checklist import Checklist
from doorround.domain.judging.published_points import FACTSHEET, NFPA_80
from doorround.domain.judging.rule_set import Point
from doorround.domain.judging.rule_sets import SETS

# ---- What a simple check looks at

WORDS = {
    "FACTSHEET": [
        "alterations or damage to glazing or air-transfer grilles",
        "gaps around the frame, seals and hinges fitted correctly",
        "the closer shuts the door",
        "the door closes correctly around the whole frame",
        "no visible damage to door or closer",
    ],
    "NFPA_80": [
        "labels visible and legible",
        "no open holes or breaks in door or frame",
        "glazing, vision-light frames and beads intact and fastened",
        "door, frame, hinges, hardware, threshold secured, aligned, working, undamaged",
        "no parts missing or broken",
        "clearances within limits",
        "self-closer works, door closes completely from fully open",
        "coordinator: inactive leaf closes before active leaf",
        "latch operates and secures the closed door",
        "no auxiliary hardware that interferes",
        "no field modification that voids the label",
        "gasketing and edge seals present and intact",
        "signs on the door meet the rules for signs",
    ],
}


def test_the_lists_are_whole() -> None:
    # GOV.UK / Home Office factsheet on regulation 10; NFPA 80, 13 items for swinging doors
    # (secondary)
    assert [point.words for point in FACTSHEET] == WORDS["FACTSHEET"] and len(FACTSHEET) == 5
    assert [point.words for point in NFPA_80] == WORDS["NFPA_80"] and len(NFPA_80) == 13
    assert SETS["england-flats"].points == SETS["uk-premises"].points == FACTSHEET
    assert SETS["nfpa-80"].points == NFPA_80


PAIR = door(
    leaves="pair", glazing="clear fire-resisting", threshold_seal="fitted", screens="beside"
)


@pytest.mark.parametrize(
    ("point", "checklist"),
    [
        *((point, CHECKLIST) for point in FACTSHEET),
        *((point, FLATS) for point in FACTSHEET),
        *((point, NFPA) for point in NFPA_80),
    ],
    ids=lambda each: each.name if isinstance(each, Point) else each.rules.key,
)
def test_each_thing_is_asked_of_a_door_and_judged_by_rules(
    point: Point, checklist: Checklist
) -> None:
    from doorround.domain.judging.rule_catalogue import ALL_RULES

    asked = {question.key for question in checklist.for_door(PAIR)}
    known = {f"{fault.component}.{fault.name}" for fault in checklist.defect} | set(ALL_RULES)
    assert set(point.questions) <= asked
    assert set(point.rules) <= known - set(checklist.rules.without)
