"""Gaps measured place by place, as the rules judge them."""

from __future__ import annotations

import math
from fractions import Fraction

from gap_points_said import SIDES, amounts, bare, whole
from hypothesis import given
from hypothesis import strategies as some
from judged_doors import faults, judged
from visits import CHECKLIST, CORRIDOR, door

from doorround.domain.findings import Verdict
from doorround.domain.gap_points import PLACES, placed
from doorround.domain.judging.door_verdict import Result
from doorround.domain.judging.gap_places import apart
from doorround.domain.judging.judge import judge, unseen
from doorround.domain.values import Measure, Unit

# ---- How they are judged


def test_each_place_reaches_the_rules_as_a_point_of_its_own() -> None:
    found = apart({SIDES: whole(head="2 3 5")})
    assert [found[f"gaps.head_{place}"] for place in ("hinge", "middle", "lock")] == [
        Measure(amount=Fraction(amount), unit=Unit.MM) for amount in (2, 3, 5)
    ]
    assert len(found) == 10


def test_a_head_that_opens_to_the_lock_side_says_how_far_the_leaf_has_dropped() -> None:
    # from the geometry of a turned leaf: atan(3 / 926) = 0.1856°, 2040 mm × sin = 6.61 mm
    drop = judged(gaps__sides=whole(head="2 3 5"))
    (found,) = (each for each in drop.findings if each.rule == "leaf.out_of_square")
    assert found.question == SIDES
    assert found.what == "head gap 2 mm at the hinge side, 5 mm at the lock side"
    angle = math.degrees(math.atan(3 / 926))
    assert f"{angle:.2f}° out of square" in found.why and "closes by 6.6 mm" in found.why


def test_a_jamb_that_is_uneven_is_told() -> None:
    (found,) = (
        each
        for each in judged(gaps__sides=whole(lock="1 2 4")).findings
        if each.rule == "gaps.uneven"
    )
    assert (found.what, found.question) == ("lock side gap from 1 to 4 mm", SIDES)


def test_of_several_places_the_worst_is_named_once() -> None:
    found = judge(CORRIDOR, CHECKLIST.ask(SIDES), whole(head="5 6 5", lock="1 3 3"), CHECKLIST)
    assert [(each.rule, each.what) for each in found] == [
        ("gaps.too_narrow", "1 mm, 2 mm at least, lock side, top"),
        ("gaps.too_wide", "6 mm, 4 mm allowed, head, middle"),
    ]


def test_a_gap_too_wide_all_along_is_one_fault_and_not_three() -> None:
    # "three faults of one severity count as one of the next graver": common practice, no source
    wide = judged(gaps__sides=whole(head="5 5 5"), frame__here=faults("split"))
    assert wide.severity == "soon" and "door.several" not in [each.rule for each in wide.findings]
    third = judged(
        gaps__sides=whole(head="5 5 5"), frame__here=faults("split"), frame__beyond=faults("split")
    )
    assert "door.several" in [each.rule for each in third.findings]


def test_points_of_a_file_are_counted_so_too() -> None:
    points = {
        f"gaps__head_{place}": Measure(amount=Fraction(5), unit=Unit.MM) for place in PLACES["head"]
    }
    assert "door.several" not in [each.rule for each in judged(**points).findings]


def test_the_doors_own_evidence_prevails_at_every_place() -> None:
    allowed = door(gap_sides_most_mm=6, evidence="report 7")
    assert judge(allowed, CHECKLIST.ask(SIDES), whole(head="5 6 5"), CHECKLIST) == ()
    (found,) = judge(allowed, CHECKLIST.ask(SIDES), whole(head="5 6 7"), CHECKLIST)
    assert found.what == "7 mm, 6 mm allowed, head, at the lock side"
    assert found.source == "the door's own evidence: report 7"
    assert judged(allowed, gaps__sides=whole(head="5 6 5")).evidence != ()


def test_edges_that_nobody_measured_are_no_pass() -> None:
    head = placed(SIDES, bare("3", "3", "3"))
    assert head is not None
    findings = judge(CORRIDOR, CHECKLIST.ask(SIDES), head, CHECKLIST)
    assert [(each.verdict, each.what) for each in findings] == [
        (Verdict.UNKNOWN, "not measured: hinge side and lock side")
    ]
    assert judged(gaps__sides=head).result is Result.NOT_SHOWN


def test_a_fault_at_one_edge_does_not_hide_that_another_was_not_measured() -> None:
    head = placed(SIDES, bare("3", "3", "5"))
    assert head is not None
    found = judged(gaps__sides=head)
    assert found.result is Result.NOT_SHOWN and found.not_checked == (SIDES,)
    assert unseen(head, judge(CORRIDOR, CHECKLIST.ask(SIDES), head, CHECKLIST))


@given(some.lists(amounts, min_size=9, max_size=9))
def test_nine_places_pass_just_when_each_of_them_would(each: list[Fraction]) -> None:
    texts = [str(amount) for amount in each]
    measured = whole(" ".join(texts[:3]), " ".join(texts[3:6]), " ".join(texts[6:]))
    alone = [
        judge(CORRIDOR, CHECKLIST.ask(SIDES), Measure(amount=one, unit=Unit.MM), CHECKLIST)
        for one in each
    ]
    rules = {finding.rule for findings in alone for finding in findings}
    assert {
        finding.rule for finding in judge(CORRIDOR, CHECKLIST.ask(SIDES), measured, CHECKLIST)
    } == rules


def test_one_value_is_kept_as_it_always_was() -> None:
    assert Measure(amount=Fraction(3), unit=Unit.MM).model_dump(mode="json") == {
        "kind": "measure",
        "amount": "3",
        "unit": "mm",
    }
    kept = whole().model_dump_json()
    assert Measure.model_validate_json(kept) == whole()


def test_pounds_force_are_judged_as_the_newtons_they_are() -> None:
    # 1 lbf = 0.45359237 kg × 9.80665 m/s² = 4.4482216152605 N, exact by definition; BS 8300: 30 N
    # (secondary)
    assert Measure(amount=Fraction(1), unit=Unit.POUND_FORCE).newtons == Fraction("4.4482216152605")
    question = CHECKLIST.ask("closer.force_low")
    six, seven = (Measure(amount=Fraction(each), unit=Unit.POUND_FORCE) for each in (6, 7))
    assert judge(CORRIDOR, question, six, CHECKLIST) == ()  # 26.69 N
    (found,) = judge(CORRIDOR, question, seven, CHECKLIST)
    assert found.what == "31.14 N to open, 30 N allowed"
