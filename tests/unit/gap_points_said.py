"""Gaps as they are said at several places of an edge, for the tests of gap points."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as some

from doorround.domain.gap_points import PLACES, placed
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


amounts = some.fractions(min_value=0, max_value=30, max_denominator=8)
