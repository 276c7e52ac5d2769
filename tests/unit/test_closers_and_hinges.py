"""What closers and hinges come to: size, time, and what hinges hold."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from judged_doors import judged
from visits import CHECKLIST, CORRIDOR, door

from doorround.domain.judging.judge import judge
from doorround.domain.judging.optional_questions import question_of
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import hinge_load
from doorround.domain.values import CannotCheck, Condition, Measure, Unit

# ---- Closers and hinges


NOTHING = {"closer_size": None, "leaf_mass_kg": None, "leaf_width_mm": None}
BEYOND = "beyond the table of closers, which ends at 1600 mm and 160 kg"


@pytest.mark.parametrize(
    ("fields", "what"),
    [
        ({"closer_size": 3}, None),
        ({"closer_size": 2}, "closer of size 2, size 3 wanted for 926 mm wide and 45 kg"),
        (
            {"closer_size": 3, "leaf_mass_kg": 85},
            "closer of size 3, size 5 wanted for 926 mm wide and 85 kg",
        ),
        (
            {**NOTHING, "closer_size": 2},
            "closer of size 2, size 3 wanted, the least for a fire door",
        ),
        ({"closer_size": 7, "leaf_width_mm": 1650}, f"leaf of 1650 mm wide and 45 kg: {BEYOND}"),
        ({**NOTHING, "leaf_width_mm": 1650}, f"leaf of 1650 mm wide: {BEYOND}"),
        ({"closer_size": None}, None),
        (NOTHING, None),
    ],
)
def test_the_closer_fits_the_leaf(fields: dict[str, Any], what: str | None) -> None:
    whole = judged(door(**fields))
    assert [each.what for each in whole.findings] == ([what] if what else [])
    assert all(each.severity is Severity.SOON for each in whole.findings)


def test_a_closer_that_was_not_seen_or_a_door_kept_locked_is_not_measured_against_the_table() -> (
    None
):
    weak = door(closer_size=2)
    assert [each.rule for each in judged(weak, closer__full=CannotCheck()).findings] == [
        "closer.not_seen"
    ]
    locked = door(use="cupboard", closer="none, kept locked", closer_size=2, leaf_width_mm=1650)
    (other,) = judged(locked, closer__full=Condition()).findings
    assert other.rule == "register.contradicted"


@pytest.mark.parametrize("key", ["closer.seconds", "closer.force_low", "closer.force_high"])
def test_what_a_set_says_nothing_of_is_not_found(key: str) -> None:
    silent = CHECKLIST.under(SETS["uk-premises"].model_copy(update={"limits": {}}))
    question = question_of(key, silent)
    value = Measure(amount=Fraction(100), unit=Unit(question.unit or ""))
    assert judge(CORRIDOR, question, value, silent) == ()
    assert judge(CORRIDOR, question, value, CHECKLIST) != ()
    (unseen,) = judge(CORRIDOR, question, CannotCheck(), CHECKLIST)
    assert unseen.rule == "closer.not_seen"


def test_an_acoustic_device_that_was_not_seen_is_not_judged() -> None:
    stair = door(use="stair", hold_open="acoustic")
    assert [each.rule for each in judged(stair, hold_open=CannotCheck()).findings] == [
        "hold_open.not_seen"
    ]


@pytest.mark.parametrize(
    ("seconds", "severity"),
    [
        ("2.9", Severity.SOON),
        ("3", None),
        ("10", None),
        ("10.5", Severity.WATCH),
        ("20", Severity.WATCH),
        ("21", Severity.SOON),
    ],
)
def test_a_door_closes_neither_too_fast_nor_too_slowly(
    seconds: str, severity: Severity | None
) -> None:
    whole = judged(closer__seconds=Measure(amount=Fraction(seconds), unit=Unit.SECOND))
    assert whole.severity is severity  # common practice, no source
    assert [each.rule for each in whole.findings] == (["closer.time"] if severity else [])


def test_what_hinges_hold() -> None:
    load = hinge_load(926, 2040, 45)
    assert load is not None
    assert load.weight == pytest.approx(441.3, abs=0.05) and load.pull == pytest.approx(
        122.7, abs=0.05
    )
    assert load.words == "the hinges carry 441 N together, and the top one is pulled out with 123 N"
    # the outer hinges sit 150 mm from the top and 225 mm from the bottom: common practice, no
    # source
    assert hinge_load(926, 375, 45) is None
    low = hinge_load(926, 375.5, 45)
    assert low is not None and low.pull == pytest.approx(441.3 * 463 / 0.5, rel=1e-4)
    (finding,) = judged(door(hinge_grade=7)).findings
    assert finding.why == f"Hinges too weak for their leaf wear, and the leaf drops: {load.words}."
    (short,) = judged(door(hinge_grade=7, leaf_height_mm=None)).findings
    assert short.why == "Hinges too weak for their leaf wear, and the leaf drops."
    assert judged(door(hinge_grade=7, leaf_mass_kg=None)).findings == ()
