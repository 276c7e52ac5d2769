"""What a whole door comes to: by which set, by whose evidence, what faults make together, and what
is never a pass.
"""

from __future__ import annotations

import pytest
from judged_doors import faults, judged, mm
from pydantic import TypeAdapter
from visits import (
    CHECKLIST,
    CORRIDOR,
    FLATS,
    HELD_OPEN,
    UNKNOWN,
    door,
)

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import Result, judge_door
from doorround.domain.judging.rule import Rule
from doorround.domain.judging.rule_catalogue import ALL_RULES
from doorround.domain.judging.rule_listing import described_rules
from doorround.domain.judging.rule_set import RuleSet
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.judging.severity import Severity
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Condition,
    Defect,
    NotMeasured,
    Value,
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
