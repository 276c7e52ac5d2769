"""Gaps measured at three places of an edge: which place is meant, what is still unmeasured, how
they are judged.

Three places of each edge, and the sums of a dropped leaf: docs/judging.md. Limits: BS 8214:2016, 2
to 4 mm (secondary).
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some
from judged_doors import faults, judged
from visits import CHECKLIST, CORRIDOR, door

from doorround.domain.findings import Verdict
from doorround.domain.gap_points import EDGES, PLACES, joined, placed, together, unmeasured
from doorround.domain.judging.door_verdict import Result
from doorround.domain.judging.gap_places import apart
from doorround.domain.judging.judge import judge, unseen
from doorround.domain.values import Measure, Spot, Unit

SIDES = "gaps.sides"


def bare(*amounts: str) -> Measure:
    """Three numbers in a row, without an edge."""
    places = ("first", "second", "third")
    return spread(*(("", place, amount) for place, amount in zip(places, amounts, strict=True)))


def spread(*spots: tuple[str, str, str], unit: Unit = Unit.MM) -> Measure:
    found = tuple(
        Spot(edge=edge, place=place, amount=Fraction(amount)) for edge, place, amount in spots
    )
    return Measure(amount=max(spot.amount for spot in found), unit=unit, spots=found)


def edge(name: str, *amounts: str) -> list[tuple[str, str, str]]:
    return [(name, place, amount) for place, amount in zip(PLACES[name], amounts, strict=True)]


def whole(head: str = "3 3 3", hinge: str = "3 3 3", lock: str = "3 3 3") -> Measure:
    spots = [
        *edge("head", *head.split()),
        *edge("hinge", *hinge.split()),
        *edge("lock", *lock.split()),
    ]
    found = placed(SIDES, spread(*spots))
    assert found is not None
    return found


def short(measure: Measure | None) -> list[str]:
    return (
        [f"{spot.edge} {spot.place} {spot.amount}".replace("  ", " ") for spot in measure.spots]
        if measure
        else []
    )


# ---- Which place is meant


def test_three_numbers_are_of_the_head_from_the_hinge_side_where_nothing_was_measured_before() -> (
    None
):
    found = placed(SIDES, bare("3", "7/2", "4"))
    assert short(found) == ["head hinge 3", "head middle 7/2", "head lock 4"]
    assert found and found.amount == 4 and found.unmeasured == ("hinge", "lock")


def test_three_numbers_are_of_the_edge_that_is_asked_for() -> None:
    found = placed(SIDES, bare("3", "4", "5"), ("lock",))
    assert short(found) == ["lock top 3", "lock middle 4", "lock bottom 5"]


@pytest.mark.parametrize(
    ("key", "first", "last"),
    [
        ("gaps.threshold", "threshold hinge 3", "threshold lock 5"),
        ("gaps.meeting", "meeting top 3", "meeting bottom 5"),
    ],
)
def test_of_threshold_and_meeting_edges_three_numbers_are_the_whole_answer(
    key: str, first: str, last: str
) -> None:
    found = placed(key, bare("3", "4", "5"))
    assert (short(found)[0], short(found)[-1]) == (first, last)
    assert found and found.unmeasured == ()


def test_hinge_and_lock_side_are_the_jambs_of_a_leaf_and_the_ends_of_a_threshold() -> None:
    said = spread(("", "hinge", "3"), ("", "lock", "5"))
    assert short(placed(SIDES, said)) == ["hinge 3", "lock 5"]
    assert short(placed("gaps.threshold", said)) == ["threshold hinge 3", "threshold lock 5"]


def test_with_a_middle_between_them_they_are_the_head() -> None:
    said = spread(("", "hinge", "3"), ("", "middle", "4"), ("", "lock", "5"))
    assert short(placed(SIDES, said)) == ["head hinge 3", "head middle 4", "head lock 5"]


@pytest.mark.parametrize(
    ("key", "said"),
    [
        (
            SIDES,
            spread(("", "top", "3"), ("", "middle", "4"), ("", "bottom", "5")),
        ),  # of which jamb?
        (SIDES, spread(("sides", "first", "3"), ("sides", "second", "4"), ("sides", "third", "5"))),
        ("gaps.threshold", spread(("", "top", "3"), ("", "middle", "4"), ("", "bottom", "5"))),
        ("gaps.meeting", spread(("", "hinge", "3"), ("", "lock", "5"))),
        ("gaps.threshold", spread(("head", "hinge", "3"), ("head", "lock", "5"))),
    ],
)
def test_what_fits_no_edge_or_two_is_no_answer(key: str, said: Measure) -> None:
    assert placed(key, said) is None


# ---- What is still unmeasured


def test_one_worst_value_stands_for_all_edges_wherever_it_was_measured() -> None:
    assert placed(SIDES, spread(("lock", "", "3"))) == spread(("lock", "", "3"))
    assert unmeasured(SIDES, spread(("head", "", "4"), ("lock", "", "3")).spots) == ()


def test_who_measures_one_edge_at_its_places_measures_the_others_too() -> None:
    head = edge("head", "3", "3", "3")
    assert unmeasured(SIDES, spread(*head).spots) == ("hinge", "lock")
    assert unmeasured(SIDES, spread(*head, ("lock", "", "3")).spots) == ("hinge",)
    assert unmeasured(SIDES, spread(*head, ("hinge", "", "3"), ("lock", "", "3")).spots) == ()
    assert (
        unmeasured(SIDES, spread(("head", "hinge", "3"), ("head", "lock", "3")).spots)
        == EDGES[SIDES]
    )
    assert whole().unmeasured == ()


def test_a_value_for_the_sides_is_one_for_each_of_them() -> None:
    found = placed(SIDES, spread(*edge("head", "3", "3", "3"), ("sides", "", "4")))
    assert found and found.unmeasured == () and short(found)[-2:] == ["hinge 4", "lock 4"]


def test_what_is_measured_later_is_joined_and_of_one_place_the_later_counts() -> None:
    head = placed(SIDES, bare("3", "7/2", "4"))
    assert head is not None
    rest = joined(SIDES, head, spread(("hinge", "", "3"), ("lock", "", "5")))
    assert (rest.amount, rest.unmeasured) == (5, ())
    again = joined(SIDES, rest, spread(("lock", "", "2")))
    assert again.amount == 4 and "lock 2" in short(again) and "lock 5" not in short(again)
    assert joined(SIDES, head, Measure(amount=Fraction(2), unit=Unit.MM)).unmeasured == ()


def test_inches_said_after_millimetres_are_joined_exactly() -> None:
    head = placed(SIDES, bare("3", "3", "3"))
    assert head is not None
    found = joined(SIDES, head, spread(("hinge", "", "1/8"), unit=Unit.INCH))
    assert (found.unit, found.amount) == (
        Unit.MM,
        Fraction("3.175"),
    )  # an inch is 25.4 mm by definition


amounts = some.fractions(min_value=0, max_value=30, max_denominator=8)
values = some.builds(
    lambda spots: spread(*((where, place, str(amount)) for where, place, amount in spots)),
    some.lists(
        some.sampled_from(
            [(where, place) for where in EDGES[SIDES] for place in ("", *PLACES[where])]
        ).flatmap(lambda at: amounts.map(lambda amount: (*at, amount))),
        min_size=1,
        max_size=6,
    ),
)


@given(values, values)
def test_of_gaps_said_in_one_breath_none_is_lost_and_the_widest_counts(
    one: Measure, other: Measure
) -> None:
    both = together(one, other)
    assert both.amount == max(one.amount, other.amount)
    assert both.spots == (*one.spots, *other.spots)


@given(values, values)
def test_to_join_is_to_join_once(one: Measure, other: Measure) -> None:
    both = joined(SIDES, one, other)
    assert joined(SIDES, both, other).amount == both.amount >= other.amount
    assert set(both.unmeasured) <= set(EDGES[SIDES])


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
