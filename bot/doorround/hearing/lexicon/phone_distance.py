"""Phonetic distance of two phrases: weighted edit distance of their phones.

It predicts confusion only weakly, so it is a warning, not proof: two close phrases are a bad idea,
two distant ones may still be confused in noise.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.lexicon.distance_table import (
    FAR,
    DistanceTable,
    Near,
    Rows,
    Sounds,
    SpokenPhones,
)
from doorround.hearing.lexicon.phone_costs import PhoneCosts, bundled_costs
from doorround.hearing.lexicon.pronunciations import Phones

Ways = Callable[[str], Sequence[Phones]]
"""A word → all its pronunciations."""


def sounds_of(words: Automaton, ways: Ways) -> Sounds:
    """Every pronunciation of every phrase of an acyclic automaton.

    Raises ValueError for a loop or an unknown word.
    """
    count = words.states
    arcs: list[tuple[int, int, str, bool, str]] = []
    for begin, end, word in words.arcs:
        said = ways(word) if word else ((),)
        if not said:
            raise ValueError(
                f'Nobody knows how "{word}" is said. Add a line to pronunciations.dict.'
            )
        for way in said:
            steps = [begin, *range(count, count + len(way) - 1), end]
            count += max(0, len(way) - 1)
            arcs += [
                (
                    steps[place],
                    steps[place + 1],
                    phone,
                    place == len(way) - 1,
                    word if place == 0 else "",
                )
                for place, phone in enumerate(way)
            ] or [(begin, end, "", False, word)]
    return _forward(arcs, count, words.finals)


def _forward(
    arcs: list[tuple[int, int, str, bool, str]], count: int, finals: frozenset[int]
) -> Sounds:
    """Topological renumbering, so that every arc goes forward (Kahn 1962, from memory)."""
    leaving: list[list[int]] = [[] for _ in range(count)]
    waits = [0] * count
    for begin, end, *_ in arcs:
        leaving[begin].append(end)
        waits[end] += 1
    ready = [state for state in range(count) if not waits[state]]
    order: list[int] = []
    while ready:
        state = ready.pop()
        order.append(state)
        for after in leaving[state]:
            waits[after] -= 1
            if not waits[after]:
                ready.append(after)
    if len(order) < count:
        raise ValueError("What may be said goes round in a circle.")
    place = {state: number for number, state in enumerate(order)}
    moved = sorted((place[arc[0]], place[arc[1]], *arc[2:]) for arc in arcs)
    # the start must come first: nothing leads to it, and any other state without a predecessor is
    # unreachable
    return Sounds(_from_start(moved, place[0]), count, frozenset(place[state] for state in finals))


def _from_start(
    arcs: list[tuple[int, int, str, bool, str]], start: int
) -> tuple[tuple[int, int, str, bool, str], ...]:
    reached = {start}
    kept = []
    for arc in arcs:
        if arc[0] in reached:
            reached.add(arc[1])
            kept.append(arc)
    return tuple(kept)


def ways_to_speak(phrase: str, ways: Ways, most: int = 24) -> list[SpokenPhones]:
    """Every pronunciation of a phrase, at most `most`."""
    spoken: list[SpokenPhones] = [[]]
    for word in phrase.split():
        each = [
            [(phone, place == len(way) - 1) for place, phone in enumerate(way)]
            for way in ways(word)
        ]
        spoken = [[*before, *way] for before in spoken for way in each][:most]
    return spoken


def distance(one: str, other: str, ways: Ways, costs: PhoneCosts | None = None) -> float:
    """Distance of two phrases, minimum over all pronunciations of both."""
    return nearest(one, sounds_of(_line(other), ways), ways, costs).distance


def _line(phrase: str) -> Automaton:
    words = phrase.split()
    return Automaton(
        tuple((place, place + 1, word) for place, word in enumerate(words)), frozenset({len(words)})
    )


def nearest(phrase: str, sounds: Sounds, ways: Ways, costs: PhoneCosts | None = None) -> Near:
    """The phonetically nearest phrase of a network, over all pronunciations of both.

    Exact.
    """
    costs = costs or bundled_costs()
    return min(
        (_nearest(spoken, sounds, costs) for spoken in ways_to_speak(phrase, ways)),
        key=lambda near: near.distance,
    )


def _nearest(spoken: SpokenPhones, sounds: Sounds, costs: PhoneCosts) -> Near:
    table = DistanceTable(Rows.of([spoken], costs), sounds, costs)
    end = min(sounds.finals, key=lambda state: table.last(state)[0])
    return Near(table.phrase(end), float(table.last(end)[0]))


def distances(
    phrases: Sequence[str], sounds: Sounds, ways: Ways, costs: PhoneCosts | None = None
) -> NDArray[np.float64]:
    """For each phrase the distance of the nearest phrase of a network.

    All in one pass over the network.
    """
    costs = costs or bundled_costs()
    spoken = [
        (place, way) for place, phrase in enumerate(phrases) for way in ways_to_speak(phrase, ways)
    ]
    found = np.full(len(phrases), FAR)
    ends = _to_ends(Rows.of([way for _, way in spoken], costs), sounds, costs)
    np.minimum.at(found, [place for place, _ in spoken], ends)
    return found


def to_rows(phrase: str, rows: Rows, ways: Ways, costs: PhoneCosts) -> NDArray[np.float64]:
    """Distance of one phrase from each row. Raises ValueError for an unknown word."""
    return _to_ends(rows, sounds_of(_line(phrase), ways), costs)


def _to_ends(rows: Rows, sounds: Sounds, costs: PhoneCosts) -> NDArray[np.float64]:
    table = DistanceTable(rows, sounds, costs)
    ends: NDArray[np.float64] = np.min([table.last(state) for state in sounds.finals], axis=0)
    return ends


def within(
    phrase: str, sounds: Sounds, ways: Ways, most: float, costs: PhoneCosts | None = None
) -> list[Near]:
    """Every phrase of a network within `most` of one phrase, nearest first. Exact."""
    costs = costs or bundled_costs()
    found: dict[str, float] = {}
    for spoken in ways_to_speak(phrase, ways):
        for near in DistanceTable(Rows.of([spoken], costs), sounds, costs).within(most):
            found[near.phrase] = min(near.distance, found.get(near.phrase, FAR))
    return sorted(
        (Near(said, far) for said, far in found.items()),
        key=lambda near: (near.distance, near.phrase),
    )
