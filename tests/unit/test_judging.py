"""What a whole door comes to: by which set, by whose evidence, what faults make together, and what
is never a pass.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from judged_doors import faults, judged, mm, well
from pydantic import TypeAdapter
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    FLAT,
    FLATS,
    HELD_OPEN,
    NFPA,
    PAIR,
    UNKNOWN,
    ask,
    door,
)

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.findings import Verdict
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.judge import judge, verdict
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule import Rule
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_listing import described_rules
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.severity import Severity
from doorround.domain.judging.statics import hinge_load
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)

VALUE: TypeAdapter[Value] = TypeAdapter(Value)


# ---- Every rule, by its own example


@pytest.mark.parametrize("rule", ALL_RULES.values(), ids=lambda rule: rule.key)
def test_each_rule_speaks_at_its_example_and_not_at_a_door_that_is_well(rule: Rule) -> None:
    checklist = CHECKLIST.under(SETS[rule.example.rules])
    fire_door = Door.model_validate({"number": "1", **rule.example.door})
    answers = {key: VALUE.validate_python(said) for key, said in rule.example.answers.items()}
    found = [
        each for each in judge_door(fire_door, answers, checklist).findings if each.rule == rule.key
    ]
    assert [each.what for each in found] == [rule.example.what]
    assert found[0].severity is not None and found[0].severity.rank <= rule.severity.rank
    assert found[0].severity.rank >= (rule.mildest or rule.severity).rank
    assert found[0].source and found[0].why.endswith(".") and found[0].do_now.endswith(".")
    assert rule.key not in [each.rule for each in judged().findings]


@pytest.mark.parametrize("rules", SETS.values(), ids=lambda rules: rules.key)
def test_every_rule_and_fault_is_described_with_source_questions_and_example(
    rules: RuleSet,
) -> None:
    described = {each["key"]: each for each in described_rules(CHECKLIST.under(rules))}
    assert len(described) == len(ALL_RULES) + len(CHECKLIST.defect)
    for key, told in described.items():
        assert told["source"] and told["says"] and told["example"], key
        assert (told["severity"] is None) == (key in rules.without)
        assert told["questions"] or key == "door.several"
    assert described["gaps.too_wide"]["limits"]


# ---- The whole door


@pytest.mark.parametrize("fire_door", [CORRIDOR, HELD_OPEN], ids=lambda each: each.number)
@pytest.mark.parametrize("checklist", [CHECKLIST, FLATS], ids=lambda each: each.rules.key)
def test_a_door_of_which_all_was_seen_and_nothing_found_is_fit(
    fire_door: Door, checklist: Checklist
) -> None:
    whole = judged(fire_door, checklist)
    assert (whole.result, whole.findings, whole.severity) == (Result.FIT, (), None)
    assert whole.sentence == "Fit, as far as eyes and hands can tell."
    assert whole.limit == CHECKLIST.caution


def test_a_door_with_a_defect_is_fit_with_defects() -> None:
    whole = judged(frame__beyond=faults("corroded"))
    assert (whole.result, whole.severity) == (Result.WITH_DEFECTS, Severity.PLANNED)
    assert whole.sentence == "Fit, with 1 defect; the gravest: planned."


def test_one_finding_of_act_now_puts_the_door_out_of_action() -> None:
    whole = judged(clear=faults("wedged"), frame__beyond=faults("corroded"))
    assert whole.result is Result.OUT_OF_ACTION
    assert whole.sentence == "Out of action as a fire door: Doorway: wedged open."
    assert [each.severity for each in whole.findings] == [Severity.ACT_NOW, Severity.PLANNED]


def test_a_part_that_was_not_seen_is_no_pass_whatever_else_was() -> None:
    whole = judged(seals=CannotCheck(reason="locked"), latch=faults("stiff"))
    assert (whole.result, whole.not_checked) == (Result.NOT_SHOWN, ("seals",))
    assert (
        whole.sentence == "Not shown to be fit: 1 not checked, and 1 defect, the gravest: planned."
    )


def test_a_door_of_which_nothing_was_answered_is_not_shown_to_be_fit() -> None:
    whole = judge_door(UNKNOWN, {}, CHECKLIST)
    assert whole.result is Result.NOT_SHOWN and len(whole.not_checked) > 20


def test_what_a_competent_person_is_called_for_is_named() -> None:
    assert judged(leaf__here=faults("altered")).competent == ("Leaf, this side: altered",)


def test_findings_stand_the_gravest_first_whatever_was_asked_first() -> None:
    wedged = Condition(defects=(Defect(name="wedged", made_good=True),))
    whole = judged(
        clear=wedged, sign__here=faults("wrong"), seals=CannotCheck(), closer__full=faults("broken")
    )
    assert [each.rule for each in whole.findings] == [
        "closer.broken",
        "sign.wrong",
        "clear.wedged",
        "seals.not_seen",
    ]


def test_what_the_register_does_not_know_is_no_part_that_was_not_looked_at() -> None:
    whole = judged(
        Door.model_validate({"number": "1", "rating": "FD30", "leaves": "one"}),
        register__material=Choice(chosen="unknown"),
        register__width=NotMeasured(),
    )
    assert whole.not_checked == ()


def test_nobody_can_say_that_a_door_is_fit_whose_rating_or_kind_of_seals_is_not_known() -> None:
    assert judged(UNKNOWN).not_checked == ("register.rating", "register.leaves")
    assert judged(door(rating=None)).not_checked == ("register.rating",)
    for rating, wanted in (
        ("FD30", ()),
        ("FD30S", ("register.seals",)),
        ("FD60", ("register.seals",)),
    ):
        assert judged(door(rating=rating, seals=None)).not_checked == wanted
    shutter = judged(door(operation="roller shutter"))
    assert shutter.not_checked == ("register.operation",)
    assert shutter.evidence == (
        "This program judges hinged doors only: a competent person looks at this one.",
    )


# ---- Made good on the spot


def test_a_wedge_that_was_taken_out_is_kept_and_no_longer_counts() -> None:
    whole = judged(clear=Condition(defects=(Defect(name="wedged", made_good=True),)))
    (finding,) = whole.findings
    assert (finding.what, finding.made_good) == ("wedged open, made good on the spot", True)
    assert (finding.severity, finding.verdict) == (Severity.ACT_NOW, "sound")
    assert whole.result is Result.FIT


def test_what_no_caretaker_can_mend_is_not_closed_by_saying_so() -> None:
    whole = judged(closer__full=Condition(defects=(Defect(name="broken", made_good=True),)))
    assert whole.result is Result.OUT_OF_ACTION and not whole.findings[0].made_good


# ---- Several faults


def test_three_faults_that_are_planned_are_soon_together_and_three_soon_are_act_now() -> None:
    planned = judged(
        frame__beyond=faults("corroded"), latch=faults("stiff"), sign__here=faults("wrong")
    )
    assert [(each.what, each.severity) for each in planned.together] == [
        ("wrong sign, and 2 more faults", Severity.SOON)
    ]
    assert planned.sentence == "Fit, with 3 defects; the gravest: soon."
    assert (planned.result, planned.severity) == (Result.WITH_DEFECTS, Severity.SOON)
    soon = judged(
        frame__here=faults("split"), glass__here=faults("cracked"), latch=faults("broken")
    )
    assert (soon.result, soon.together[0].source) == (
        Result.OUT_OF_ACTION,
        "common practice, no source",
    )
    assert soon.sentence == "Out of action as a fire door: Frame: split, and 2 more faults."


def test_two_faults_are_two_faults_and_made_good_ones_do_not_count() -> None:
    assert judged(frame__beyond=faults("corroded"), latch=faults("stiff")).together == ()
    mended = Condition(defects=(Defect(name="screw_loose", made_good=True),))
    assert (
        judged(
            frame__beyond=faults("corroded"), latch=faults("stiff"), hinges__fixings=mended
        ).together
        == ()
    )
    assert (
        judged(
            frame__here=faults("split"), glass__here=faults("cracked"), hinges__fixings=mended
        ).together
        == ()
    )


def several(fire_door: Door = CORRIDOR, **answers: Value) -> list[str]:
    return [
        each.what for each in judged(fire_door, **answers).together if each.rule == "door.several"
    ]


def test_one_gap_measured_at_three_places_is_one_fault_its_gravest() -> None:
    wide = {f"gaps__lock_{place}": mm("5") for place in ("top", "middle", "bottom")}
    assert several(**wide) == []
    assert several(**wide, frame__here=faults("split")) == []
    assert several(**wide, frame__here=faults("split"), glass__here=faults("cracked")) == [
        "frame: split, and 2 more faults"
    ]
    # 9 mm are to be watched, 12 mm are soon: whichever place was measured first
    plain = door(rating="FD30")
    for hinge, lock in (("9", "12"), ("12", "9")):
        gaps = {"gaps__threshold_hinge": mm(hinge), "gaps__threshold_lock": mm(lock)}
        both = {"frame__here": faults("split"), "glass__here": faults("cracked")}
        assert several(plain, **gaps, **both) == ["frame: split, and 2 more faults"]


def test_a_gap_too_wide_at_one_place_and_too_narrow_at_another_is_two_faults() -> None:
    gaps = {"gaps__lock_top": mm("5"), "gaps__hinge_top": mm("0")}
    assert several(**gaps, frame__here=faults("split")) == ["frame: split, and 2 more faults"]


def test_milder_faults_beside_a_graver_one_add_up_only_to_more_than_it() -> None:
    assert (
        judged(
            frame__beyond=faults("corroded"), latch=faults("stiff"), glass__here=faults("cracked")
        ).together
        == ()
    )
    assert judged(clear=faults("wedged", "stored", "fixed")).together == ()


def test_three_screws_missing_on_one_door_put_it_out_of_action() -> None:
    two, three = (
        Condition(defects=(Defect(name="screw_missing", count=count),)) for count in (2, 3)
    )
    assert judged(hinges__fixings=two).severity is Severity.SOON
    assert judged(hinges__fixings=three).result is Result.OUT_OF_ACTION


# ---- Laws

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
