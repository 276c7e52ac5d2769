"""The routine check as data: it hangs together, each door hears its own questions, and mistakes in
a file are told.

Five things of a simple check: GOV.UK / Home Office factsheet on regulation 10. Both faces, and the
thirteen points: NFPA 80, inspection of swinging doors (secondary). Closing tests: GOV.UK, fire door
guidance (secondary).
"""

from __future__ import annotations

import pytest
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    FLAT,
    FLATS,
    HELD_OPEN,
    NEW_FLAT,
    NFPA,
    PAIR,
    UNKNOWN,
    Visit,
    door,
)

from doorround.domain.door import Door

QUESTIONS = {question.key: question for question in CHECKLIST.question}


def heard(fire_door: Door) -> list[str]:
    return [question.key for question in CHECKLIST.for_door(fire_door)]


# ---- Which door hears which question


def test_a_check_whose_door_or_rules_change_hears_the_questions_of_what_is_now() -> None:
    check = Visit(CORRIDOR).check
    before = [question.key for question in check.questions]
    for changed, checklist in ((HELD_OPEN, CHECKLIST), (CORRIDOR, NFPA), (HELD_OPEN, NFPA)):
        now = check.model_copy(update={"door": changed, "checklist": checklist})
        asked = [each.key for each in checklist.question if checklist.asks(each, changed)]
        assert [question.key for question in now.questions] == asked != before
    assert [question.key for question in check.questions] == before


def test_a_known_corridor_door_is_asked_these_questions_in_the_order_walked() -> None:
    assert heard(CORRIDOR) == [
        "clear",
        "sign.here",
        "frame.here",
        "leaf.here",
        "glass.here",
        "gaps.sides",
        "gaps.threshold",
        "latch",
        "seals",
        "hinges.count",
        "hinges.fixings",
        "frame.beyond",
        "leaf.beyond",
        "glass.beyond",
        "sign.beyond",
        "closer.full",
        "closer.ajar",
    ]


def test_a_cupboard_kept_locked_is_asked_for_its_lock_and_no_closer() -> None:
    assert heard(CUPBOARD)[0] == "lock"
    assert {
        "closer.full",
        "closer.ajar",
        "hold_open",
        "glass.here",
        "glass.beyond",
        "sign.beyond",
    }.isdisjoint(heard(CUPBOARD))
    assert "lock" not in heard(CORRIDOR)


@pytest.mark.parametrize(
    ("fields", "never"),
    [
        ({"glazing": "none"}, {"glass.here", "glass.beyond", "mark"}),
        ({"glazing": "wired"}, {"mark"}),
        ({"hold_open": "none"}, {"hold_open"}),
        ({"latch": "none"}, {"latch"}),
        ({"threshold_seal": "none"}, {"threshold"}),
        ({"use": "flat entrance"}, {"sign.here", "sign.beyond"}),
        (
            {"closer": "none, kept locked", "use": "riser"},
            {"closer.full", "closer.ajar", "sign.beyond", "lock.way_out"},
        ),
        ({"closer": "none, kept locked", "use": "stair"}, {"lock"}),
    ],
)
def test_a_door_without_a_part_never_hears_of_it(fields: dict[str, str], never: set[str]) -> None:
    assert never.isdisjoint(heard(door(**fields)))


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        ({"glazing": "clear fire-resisting"}, {"glass.here", "glass.beyond", "mark"}),
        ({"hold_open": "acoustic"}, {"hold_open"}),
        ({"latch": "lock"}, {"latch"}),
        ({"threshold_seal": "fitted"}, {"threshold"}),
        ({"closer": "none"}, {"closer.full", "closer.ajar"}),
        ({"closer": "floor spring"}, {"closer.full", "closer.ajar"}),
    ],
)
def test_a_door_with_a_part_is_asked_about_it(fields: dict[str, str], asked: set[str]) -> None:
    assert asked <= set(heard(door(**fields)))


@pytest.mark.parametrize(
    ("field", "asked"),
    [
        ("glazing", {"glass.here", "glass.beyond", "mark"}),
        ("closer", {"lock.way_out", "closer.full", "closer.ajar"}),
        ("hold_open", {"hold_open", "sign.here"}),
        ("latch", {"latch"}),
        ("threshold_seal", {"threshold"}),
    ],
)
def test_what_is_unknown_hides_no_question(field: str, asked: set[str]) -> None:
    assert asked <= set(heard(door(**{field: None})))


@pytest.mark.parametrize(
    "fire_door", [CORRIDOR, HELD_OPEN, CUPBOARD, UNKNOWN], ids=lambda each: each.number
)
def test_both_faces_of_frame_leaf_and_glass_are_looked_at(fire_door: Door) -> None:
    asked = heard(fire_door)
    for part in ("frame", "leaf"):
        assert {f"{part}.here", f"{part}.beyond"} <= set(asked)
    assert ("glass.here" in asked) == ("glass.beyond" in asked)


def test_the_closing_tests_are_from_fully_open_and_from_about_15_degrees() -> None:
    assert "fully" in QUESTIONS["closer.full"].ask
    assert "15 degrees" in QUESTIONS["closer.ajar"].ask


@pytest.mark.parametrize(
    ("fire_door", "premises", "flats", "nfpa"),
    [
        # a pair takes fewer turns than two doors; one that is held open is asked for the alarm too
        (CORRIDOR, 17, 17, 18),
        (HELD_OPEN, 21, 21, 22),
        (CUPBOARD, 13, 13, 15),
        (PAIR, 28, 28, 29),
        (FLAT, 16, 16, 19),
        (NEW_FLAT, 15, 17, 18),
    ],
)
def test_the_talk_at_a_known_door_is_no_longer_than_its_set_needs(
    fire_door: Door, premises: int, flats: int, nfpa: int
) -> None:
    assert [len(each.for_door(fire_door)) for each in (CHECKLIST, FLATS, NFPA)] == [
        premises,
        flats,
        nfpa,
    ]


@pytest.mark.parametrize(
    ("fire_door", "premises", "flats", "nfpa"),
    [
        (CORRIDOR, 20, 20, 21),
        (HELD_OPEN, 24, 24, 25),
        (CUPBOARD, 13, 13, 15),
        (PAIR, 31, 31, 32),
        (FLAT, 19, 19, 22),
        (NEW_FLAT, 18, 20, 21),
    ],
)
def test_who_has_a_stopwatch_and_a_force_gauge_is_asked_what_the_set_limits(
    fire_door: Door, premises: int, flats: int, nfpa: int
) -> None:
    gauges = {"gauges": ("stopwatch", "force gauge")}
    sets = [each.under(each.rules.model_copy(update=gauges)) for each in (CHECKLIST, FLATS, NFPA)]
    assert [len(each.for_door(fire_door)) for each in sets] == [premises, flats, nfpa]


# ---- The first check

FIELDS_ASKED = {
    "use",
    "rating",
    "leaves",
    "material",
    "glazing",
    "closer",
    "hold_open",
    "latch",
    "leaf_width_mm",
    "leaf_height_mm",
    "leaf_mass_kg",
    "seals",
    "seals_in",
    "threshold_seal",
    "hinges",
    "operation",
    "screens",
    "first_side",
}


def test_the_first_check_asks_each_unknown_field_and_the_second_none() -> None:
    assert {QUESTIONS[key].fills for key in heard(UNKNOWN) if QUESTIONS[key].fills} == {
        *FIELDS_ASKED,
        "alarm_release",
    }
    visit = Visit(UNKNOWN).all_well()
    assert {name for name in FIELDS_ASKED if getattr(visit.check.door, name) is None} == set()
    assert not [key for key in heard(visit.check.door) if key.startswith("register")]


FIRST = {"undescribed": True}


def test_a_field_that_the_register_knows_is_not_asked() -> None:
    for key, question in QUESTIONS.items():
        if (
            question.component == "register"
            and not question.always
            and not question.sets
            and not question.gauge
        ):
            assert key not in heard(door()), key
            undescribed = {"material": None, "glazing": None} if question.when == FIRST else {}
            assert key in heard(door(**{question.fills: None, **undescribed})), key


def test_hinges_are_counted_at_every_check() -> None:
    assert "hinges.count" in heard(door(hinges=3))
