"""Gaps measured at three places of an edge: which edges and places there are, what is still
unmeasured, two sayings as one answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from doorround.domain.values import MM_PER_INCH, Measure, Spot, Unit

EDGES = {
    "gaps.sides": ("head", "hinge", "lock"),
    "gaps.meeting": ("meeting",),
    "gaps.threshold": ("threshold",),
}
"""The edges that each question is about. "hinge" and "lock" are the jambs."""
SEVERAL_EDGES = EDGES["gaps.sides"]
"""Edges that share a question, so that their names are told."""
_ACROSS = ("hinge", "middle", "lock")
_DOWN = ("top", "middle", "bottom")
PLACES = {"head": _ACROSS, "threshold": _ACROSS, "hinge": _DOWN, "lock": _DOWN, "meeting": _DOWN}
"""The three places of each edge, in the order in which three bare numbers are taken."""
IN_ORDER = ("first", "second", "third")
"""Places of three bare numbers, before it is known of which edge."""
NAMES = {
    "head": "head",
    "hinge": "hinge side",
    "lock": "lock side",
    "meeting": "meeting edges",
    "threshold": "threshold",
}


def placed(key: str, said: Measure, wanted: Sequence[str] = ()) -> Measure | None:
    """What was said of gaps at a question, each at its edge and place, with what is then still
    unmeasured; None where it cannot be told which place is meant. wanted: the edges that are asked
    for; all of the question, where none is.

    Three numbers without an edge are of the first of them: of the head, where nothing is known yet.
    """
    if key not in EDGES or not said.spots:
        return said
    spots = _at_edges(key, said.spots, wanted or EDGES[key])
    return None if spots is None else _whole(key, said.unit, spots)


def _at_edges(key: str, spots: Sequence[Spot], wanted: Sequence[str]) -> tuple[Spot, ...] | None:
    loose = [spot for spot in spots if not spot.edge and spot.place]
    edge = _edge_meant(key, [spot.place for spot in loose], wanted) if loose else ""
    if edge is None:
        return None
    found: list[Spot] = []
    for spot in spots:
        if spot in loose:
            found.append(_at(edge, spot))
        elif spot.edge == "sides":
            if spot.place:
                return None
            found += [Spot(edge=jamb, amount=spot.amount) for jamb in ("hinge", "lock")]
        elif spot.edge and spot.edge not in EDGES[key]:
            return None
        else:
            found.append(_at(spot.edge, spot) if spot.place else spot)
    return tuple(found)


def _edge_meant(key: str, places: Sequence[str], wanted: Sequence[str]) -> str | None:
    """The edge of places that name none; "" where they name the two jambs themselves."""
    if set(places) <= set(IN_ORDER):
        return wanted[0]
    if key == "gaps.sides" and set(places) <= {"hinge", "lock"}:
        return ""
    fitting = [edge for edge in wanted if set(places) <= set(PLACES[edge])]
    return fitting[0] if len(fitting) == 1 else None


def _at(edge: str, spot: Spot) -> Spot:
    if not edge:
        return Spot(edge=spot.place, amount=spot.amount)
    place = PLACES[edge][IN_ORDER.index(spot.place)] if spot.place in IN_ORDER else spot.place
    return Spot(edge=edge, place=place, amount=spot.amount)


def _whole(key: str, unit: Unit, spots: Sequence[Spot]) -> Measure:
    widest = max(spot.amount for spot in spots)
    return Measure(amount=widest, unit=unit, spots=tuple(spots), unmeasured=unmeasured(key, spots))


def unmeasured(key: str, spots: Sequence[Spot]) -> tuple[str, ...]:
    """Edges of a question that nothing was said of. One worst value stands for all of them,
    wherever it was measured; once an edge was measured place by place, each of the others needs a
    value too, and all three places of its own.
    """
    if not any(spot.place for spot in spots) or any(not spot.edge for spot in spots):
        return ()
    known = {(spot.edge, spot.place) for spot in spots}
    return tuple(
        edge
        for edge in EDGES[key]
        if (edge, "") not in known and not all((edge, place) in known for place in PLACES[edge])
    )


def together(one: Measure, other: Measure) -> Measure:
    """Two gaps said in one breath: both are kept, and the wider one counts."""
    other = _in_unit(other, one.unit)
    if not one.spots and not other.spots:
        return one if one.amount >= other.amount else other
    spots = (*_spots(one), *_spots(other))
    return Measure(amount=max(spot.amount for spot in spots), unit=one.unit, spots=spots)


def joined(key: str, before: Measure, more: Measure) -> Measure:
    """An answer and what was measured after it. Of one place the later counts; of one edge its
    places go before its one worst value, whichever is the later.
    """
    more = _in_unit(more, before.unit)
    later = _spots(more)
    edges = {spot.edge for spot in later if not spot.place}
    points = {spot.edge for spot in later if spot.place}
    known = {(spot.edge, spot.place) for spot in later}
    kept = [
        spot
        for spot in _spots(before)
        if (spot.edge, spot.place) not in known
        and not (spot.place and spot.edge in edges)
        and not (spot.edge and not spot.place and spot.edge in points)
    ]
    return _whole(key, before.unit, (*kept, *later))


def _spots(measure: Measure) -> tuple[Spot, ...]:
    return measure.spots or (Spot(amount=measure.amount),)


def _in_unit(measure: Measure, unit: Unit) -> Measure:
    """The same lengths in another unit of length, exact."""
    if measure.unit is unit:
        return measure
    times = MM_PER_INCH if unit is Unit.MM else 1 / MM_PER_INCH

    def changed(amount: Fraction) -> Fraction:
        return amount * times

    spots = tuple(
        spot.model_copy(update={"amount": changed(spot.amount)}) for spot in measure.spots
    )
    return measure.model_copy(
        update={"amount": changed(measure.amount), "unit": unit, "spots": spots}
    )
