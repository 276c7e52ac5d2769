"""Gaps measured at three places of an edge: which place is meant, what is still unmeasured, how
they are judged.

Three places of each edge, and the sums of a dropped leaf: docs/judging.md. Limits: BS 8214:2016, 2
to 4 mm (secondary).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from gap_points_said import SIDES, amounts, bare, edge, spread, whole
from hypothesis import given
from hypothesis import strategies as some

from doorround.domain.gap_points import EDGES, PLACES, joined, placed, together, unmeasured
from doorround.domain.values import Measure, Unit


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
