"""Gaps measured at three points along each edge: edges and points, which are still unmeasured, and
merging two utterances into one answer.
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
"""The edges covered by each question. "hinge" and "lock" are the jambs."""
SEVERAL_EDGES = EDGES["gaps.sides"]
"""Edges that share a question, so their names are given."""
_ACROSS = ("hinge", "middle", "lock")
_DOWN = ("top", "middle", "bottom")
PLACES = {"head": _ACROSS, "threshold": _ACROSS, "hinge": _DOWN, "lock": _DOWN, "meeting": _DOWN}
"""The three points of each edge, in the order in which three bare numbers are read."""
IN_ORDER = ("first", "second", "third")
"""Points for three bare numbers before the edge is known."""
NAMES = {
    "head": "head",
    "hinge": "hinge side",
    "lock": "lock side",
    "meeting": "meeting edges",
    "threshold": "threshold",
}


def placed(key: str, said: Measure, wanted: Sequence[str] = ()) -> Measure | None:
    """The gaps given at a question, each with edge and point, and what is still unmeasured; None if
    the point cannot be determined. wanted: the edges asked about; empty for all edges of the
    question.

    Three numbers without an edge apply to the first of them: to the head, if nothing is known yet.
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
    """The edge of points that name none; "" if they name the two jambs themselves."""
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
    """Edges of a question with no value yet. A single worst value, wherever measured, covers all of
    them; once one edge has been measured point by point, each other edge needs a value too, and
    that edge all three points.
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
    """Two gaps given in one utterance: both are kept, and the wider one counts."""
    other = _in_unit(other, one.unit)
    if not one.spots and not other.spots:
        return one if one.amount >= other.amount else other
    spots = (*_spots(one), *_spots(other))
    return Measure(amount=max(spot.amount for spot in spots), unit=one.unit, spots=spots)


def joined(key: str, before: Measure, more: Measure) -> Measure:
    """An answer merged with later measurements. For one point the later value counts; for one edge,
    point values take precedence over its single worst value, whichever came later.
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
    """The same lengths converted to another unit, exactly."""
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
