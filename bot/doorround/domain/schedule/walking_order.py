"""Walking order of doors: the shortest route including stairs, or nearly.

There is no plan of the building, so the route is estimated from the register: doors of one floor
are in the order of their numbers, a place that names a stair ("stair B") is at that stair, a stair
is in the same place on every floor, and a building is entered at its lowest number on the ground
floor. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Protocol, TypeVar

from doorround.english.floors import storey

STEP = 1.0
"""Distance from a door to the next number."""
STOREY = 5.0
"""One storey of stairs, up or down: equal to five doors (a guess, no source)."""
EXACT = 8
"""Maximum stops in a building for an exact search."""
IMPROVED = 60
"""Maximum stops for improving a sweep step by step."""


class Placed(Protocol):
    """A door's data for a walk."""

    @property
    def number(self) -> str: ...
    @property
    def site(self) -> str: ...
    @property
    def building(self) -> str: ...
    @property
    def floor(self) -> str: ...
    @property
    def place(self) -> str: ...


Door = TypeVar("Door", bound=Placed)
Position = tuple[float, float, str]
"""Storey, position along it, and the stair there; "" for none."""


@lru_cache(maxsize=5000)
def _stair(place: str) -> str:
    found = re.search(r"\bstair(?:s|case|way|well)?\s+(\w+)", place, re.IGNORECASE)
    return found[1].lower() if found else ""


def position(door: Placed) -> Position:
    """Assumed position of a door."""
    digits = re.findall(r"\d+", door.number)
    along = float(digits[-1]) if digits else 0.0
    # 214 on floor 2 is the fourteenth door there
    return storey(door.floor), along % 100 if along > 100 else along, _stair(door.place)


def distance(a: Position, b: Position, stairs: dict[str, float]) -> float:
    """Distance between two doors of the same building. stairs: their positions along each
    storey.
    """
    if a[0] == b[0]:
        return abs(a[1] - b[1]) * STEP
    climb = abs(a[0] - b[0]) * STOREY
    return climb + min(
        (abs(a[1] - at) + abs(b[1] - at)) * STEP for at in (stairs.values() or (0.0,))
    )


def stairs_of(positions: Iterable[Position]) -> dict[str, float]:
    """Position of each stair along its storeys: the middle of the doors that name it. {} if none is
    named.
    """
    found: dict[str, list[float]] = {}
    for _, along, stair in positions:
        if stair:
            found.setdefault(stair, []).append(along)
    return {stair: sum(places) / len(places) for stair, places in found.items()}


def walk(doors: Sequence[Door]) -> list[Door]:
    """Doors in walking order: site by site, building by building, each as a round trip from its
    entrance. For up to eight doors in a building, the shortest route; for more, nearly.
    """
    buildings: dict[tuple[str, str], list[Door]] = {}
    for door in doors:
        buildings.setdefault((door.site, door.building), []).append(door)
    out: list[Door] = []
    for key in sorted(buildings):
        out += _round(buildings[key])
    return out


def _round(doors: list[Door]) -> list[Door]:
    positions = {place: position(door) for place, door in enumerate(doors)}
    stairs = stairs_of(positions.values())
    at = sorted(positions, key=lambda place: (positions[place], doors[place].number))
    if len(at) > IMPROVED:
        return [doors[place] for place in _swept(at, positions)]
    entrance: Position = (0, 0.0, "")
    points = [entrance, *(positions[place] for place in at)]
    far = [[distance(a, b, stairs) for b in points] for a in points]
    order = _exact(far) if len(at) <= EXACT else _improved(far, _swept_order(at, positions))
    return [doors[at[place - 1]] for place in order]


def length(order: Sequence[int], far: list[list[float]]) -> float:
    """Length of the route from point 0 via these points and back to 0."""
    way = (0, *order, 0)
    return sum(far[a][b] for a, b in pairwise(way))


def _exact(far: list[list[float]]) -> list[int]:
    """The shortest route through all points, from 0 and back: dynamic programming over subsets
    (Held and Karp).
    """
    count = len(far) - 1
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {
        (1 << place, place): (far[0][place + 1], (place + 1,)) for place in range(count)
    }
    for _ in range(count - 1):
        longer: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {}
        for (seen, last), (so_far, way) in best.items():
            for place in range(count):
                if seen & 1 << place:
                    continue
                key = (seen | 1 << place, place)
                there = so_far + far[last + 1][place + 1]
                if key not in longer or there < longer[key][0] - 1e-9:
                    longer[key] = (there, (*way, place + 1))
        best = longer
    ends = ((so_far + far[way[-1]][0], way) for so_far, way in best.values())
    return list(min(ends, default=(0.0, ()))[1])


def _improved(far: list[list[float]], order: list[int]) -> list[int]:
    """Reverse segments for as long as that shortens the route (2-opt)."""
    way = [0, *order, 0]
    shorter = True
    while shorter:
        shorter = False
        for begin in range(1, len(way) - 2):
            for end in range(begin + 1, len(way) - 1):
                a = way[begin - 1]
                b = way[begin]
                c = way[end]
                d = way[end + 1]
                if far[a][c] + far[b][d] < far[a][b] + far[c][d] - 1e-9:
                    way[begin : end + 1] = way[begin : end + 1][::-1]
                    shorter = True
    return way[1:-1]


def _swept_order(at: list[int], positions: dict[int, Position]) -> list[int]:
    places = {place: nth + 1 for nth, place in enumerate(at)}
    return [places[place] for place in _swept(at, positions)]


def _swept(at: list[int], positions: dict[int, Position]) -> list[int]:
    """Storey by storey, alternating direction."""
    storeys: dict[float, list[int]] = {}
    for place in at:
        storeys.setdefault(positions[place][0], []).append(place)
    out: list[int] = []
    for nth, floor in enumerate(sorted(storeys)):
        out += storeys[floor][::-1] if nth % 2 else storeys[floor]
    return out
