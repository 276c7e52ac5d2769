"""Laws of judging that hold of every door: more faults never help, and nothing unknown passes."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from judged_doors import faults, well
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    FLAT,
    FLATS,
    HELD_OPEN,
    NFPA,
    PAIR,
    ask,
    door,
)

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.findings import Verdict
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.statics import hinge_load
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Condition,
    Count,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)

ORDER = (
    Result.FIT,
    Result.WITH_DEFECTS,
    Result.DEFICIENT,
    Result.NOT_SHOWN,
    Result.OUT_OF_ACTION,
)
NAMED = [
    (question.key, fault.name)
    for question in CHECKLIST.for_door(CORRIDOR)
    if question.kind == "condition"
    for fault in CHECKLIST.defect
    if fault.component == question.component
    and f"{fault.component}.{fault.name}" not in SETS["nfpa-80"].without
]
UNSEEN: list[Value] = [CannotCheck(), DoesNotApply(), NotMeasured(), Choice(chosen="unknown")]
EVERY_DOOR = [
    CORRIDOR,
    HELD_OPEN,
    CUPBOARD,
    PAIR,
    FLAT,
    Door.model_validate({"number": "231", "rating": "FD30", "leaves": "one"}),
]


def with_faults(chosen: list[tuple[str, str]], checklist: Checklist) -> dict[str, Value]:
    answers = well(CORRIDOR, checklist)
    for key in dict.fromkeys(key for key, _ in chosen):
        answers[key] = faults(*(name for other, name in chosen if other == key))
    return answers


@settings(max_examples=120, deadline=None)
@given(
    some.lists(some.sampled_from(NAMED), max_size=6, unique=True),
    some.sampled_from(NAMED),
    some.sampled_from([CHECKLIST, FLATS, NFPA]),
)
def test_one_more_defect_never_improves_a_door(
    chosen: list[tuple[str, str]], more: tuple[str, str], checklist: Checklist
) -> None:
    before = judge_door(CORRIDOR, with_faults(chosen, checklist), checklist)
    after = judge_door(
        CORRIDOR, with_faults([*dict.fromkeys([*chosen, more])], checklist), checklist
    )
    assert ORDER.index(after.result) >= ORDER.index(before.result)
    assert after.severity is not None and after.severity.rank >= (
        before.severity.rank if before.severity else 0
    )


@settings(max_examples=80, deadline=None)
@given(some.data(), some.sampled_from(EVERY_DOOR), some.sampled_from([CHECKLIST, FLATS, NFPA]))
def test_what_is_not_known_is_never_a_pass(
    data: some.DataObject, fire_door: Door, checklist: Checklist
) -> None:
    fine = well(fire_door, checklist)
    # what closes by itself, as this door does, need not be locked
    needed = [key for key in fine if fire_door.closer or not key.startswith("lock")]
    keys = data.draw(some.sets(some.sampled_from(sorted(needed)), min_size=1))
    value = data.draw(some.sampled_from(UNSEEN))
    whole = judge_door(fire_door, {**fine, **dict.fromkeys(keys, value)}, checklist)
    missing = judge_door(
        fire_door, {key: said for key, said in fine.items() if key not in keys}, checklist
    )
    assert whole.result is missing.result is Result.NOT_SHOWN
    assert set(whole.not_checked) == set(missing.not_checked) == keys


OTHER_KINDS: list[Value] = [
    Condition(),
    Count(number=3),
    YesNo(yes=True),
    Choice(chosen="timber"),
    *(Measure(amount=Fraction(3), unit=unit) for unit in Unit),
]


@pytest.mark.parametrize("key", [*(question.key for question in CHECKLIST.question), *EXTRAS])
def test_an_answer_of_another_kind_shows_nothing_of_a_part(key: str) -> None:
    question = question_of(key, CHECKLIST)
    alike = (("mm", "in"), ("N", "lbf"))
    for value in OTHER_KINDS:
        if value.kind == question.kind and (
            not isinstance(value, Measure)
            or value.unit == question.unit
            or any(value.unit in units and question.unit in units for units in alike)
        ):
            continue
        findings = judge(CORRIDOR, question, value, CHECKLIST)
        assert verdict(value, findings) is Verdict.UNKNOWN
        assert [(each.rule, each.what) for each in findings] == [
            (f"{question.component}.not_seen", "not checked: the answer is of another kind")
        ]
        assert findings[0].why == "What does not answer the question shows nothing of the part."
        assert findings[0].do_now == "Ask it again."


@settings(max_examples=100, deadline=None)
@given(
    some.fractions(2, 40, max_denominator=32),
    some.fractions(0, 20, max_denominator=32),
    some.sampled_from(["gaps.sides", "gaps.threshold", "gaps.meeting"]),
    some.sampled_from([CHECKLIST, FLATS, NFPA]),
    some.sampled_from(["timber", "steel", None]),
    some.sampled_from([None, 3.0, 6.0]),
)
def test_a_wider_gap_never_lowers_the_severity(
    gap: Fraction,
    more: Fraction,
    key: str,
    checklist: Checklist,
    material: str | None,
    proven: float | None,
) -> None:
    fire_door = door(material=material, gap_sides_most_mm=proven, gap_threshold_most_mm=proven)
    ranks = [
        max(
            (
                each.severity.rank
                for each in judge(
                    fire_door, ask(key), Measure(amount=amount, unit=Unit.MM), checklist
                )
                if each.severity
            ),
            default=-1,
        )
        for amount in (gap, gap + more)
    ]
    assert ranks[0] <= ranks[1]


@settings(deadline=None)
@given(some.floats(300, 2000), some.floats(500, 3000), some.floats(5, 200))
def test_hinge_loads_balance(width: float, height: float, mass: float) -> None:
    load = hinge_load(width, height, mass)
    assert load is not None
    assert math.isclose(load.pull * (height - 375), load.weight * width / 2)
