"""How near two phrases sound: the cheapest way to turn the phones of one into those of the other.

Distance predicts confusion weakly, so it warns and proves nothing: two phrases that are near are a
bad idea, two that are far may still be confused in noise.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.lexicon.phone_costs import NUMBER, PhoneCosts, carried_costs
from doorround.hearing.lexicon.pronunciations import Phones

FAR = 1e9
EVEN = 1e-9
"""Costs nearer than this are the same."""

Ways = Callable[[str], Sequence[Phones]]
"""A word → every way it is said."""


@dataclass(frozen=True)
class Sounds:
    """What may be said as phones: a network without a way round, its states in an order in which
    arcs only go forward.

    arcs: (from, to, phone, whether a word ends with it, word); phone "" is a step without a sound,
    word "" within one.
    """

    arcs: tuple[tuple[int, int, str, bool, str], ...]
    states: int
    finals: frozenset[int]


@dataclass(frozen=True)
class Near:
    """The phrase of a network that sounds nearest to another, and how far it is."""

    phrase: str
    distance: float


def sounds_of(words: Automaton, ways: Ways) -> Sounds:
    """Every way to say every phrase of an automaton without loops.

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
    """States numbered anew so that every arc goes forward (Kahn 1962, from memory)."""
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
    # the start must be the first: nothing leads to it, and what else has nothing before it cannot
    # be reached
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


Spoken = list[tuple[str, bool]]
"""Phones, each with whether a word ends with it."""


def ways_to_speak(phrase: str, ways: Ways, most: int = 24) -> list[Spoken]:
    """Every way to say a phrase, at most `most`."""
    spoken: list[Spoken] = [[]]
    for word in phrase.split():
        each = [
            [(phone, place == len(way) - 1) for place, phone in enumerate(way)]
            for way in ways(word)
        ]
        spoken = [[*before, *way] for before in spoken for way in each][:most]
    return spoken


def distance(one: str, other: str, ways: Ways, costs: PhoneCosts | None = None) -> float:
    """How far two phrases are, over all ways to say either."""
    return nearest(one, sounds_of(_line(other), ways), ways, costs).distance


def _line(phrase: str) -> Automaton:
    words = phrase.split()
    return Automaton(
        tuple((place, place + 1, word) for place, word in enumerate(words)), frozenset({len(words)})
    )


def nearest(phrase: str, sounds: Sounds, ways: Ways, costs: PhoneCosts | None = None) -> Near:
    """The phrase of a network that sounds nearest to one phrase, over all ways to say either.

    Exact.
    """
    costs = costs or carried_costs()
    return min(
        (_nearest(spoken, sounds, costs) for spoken in ways_to_speak(phrase, ways)),
        key=lambda near: near.distance,
    )


def _nearest(spoken: Spoken, sounds: Sounds, costs: PhoneCosts) -> Near:
    table = _Table(Rows.of([spoken], costs), sounds, costs)
    end = min(sounds.finals, key=lambda state: table.last(state)[0])
    return Near(table.phrase(end), float(table.last(end)[0]))


def distances(
    phrases: Sequence[str], sounds: Sounds, ways: Ways, costs: PhoneCosts | None = None
) -> NDArray[np.float64]:
    """For each phrase how far the nearest phrase of a network is.

    All in one pass over the network.
    """
    costs = costs or carried_costs()
    spoken = [
        (place, way) for place, phrase in enumerate(phrases) for way in ways_to_speak(phrase, ways)
    ]
    found = np.full(len(phrases), FAR)
    ends = _to_ends(Rows.of([way for _, way in spoken], costs), sounds, costs)
    np.minimum.at(found, [place for place, _ in spoken], ends)
    return found


def to_rows(phrase: str, rows: Rows, ways: Ways, costs: PhoneCosts) -> NDArray[np.float64]:
    """How far one phrase is from each row. Raises ValueError for an unknown word."""
    return _to_ends(rows, sounds_of(_line(phrase), ways), costs)


def _to_ends(rows: Rows, sounds: Sounds, costs: PhoneCosts) -> NDArray[np.float64]:
    table = _Table(rows, sounds, costs)
    ends: NDArray[np.float64] = np.min([table.last(state) for state in sounds.finals], axis=0)
    return ends


def within(
    phrase: str, sounds: Sounds, ways: Ways, most: float, costs: PhoneCosts | None = None
) -> list[Near]:
    """Every phrase of a network no farther than `most` from one phrase, nearest first. Exact."""
    costs = costs or carried_costs()
    found: dict[str, float] = {}
    for spoken in ways_to_speak(phrase, ways):
        for near in _Table(Rows.of([spoken], costs), sounds, costs).within(most):
            found[near.phrase] = min(near.distance, found.get(near.phrase, FAR))
    return sorted(
        (Near(said, far) for said, far in found.items()),
        key=lambda near: (near.distance, near.phrase),
    )


@dataclass(frozen=True, eq=False)
class Rows:
    """Phrases made ready to be held against networks, one a row. phones: shape (rows, most phones).
    left_out: what it costs to leave out so many of them, (rows, most + 1). lengths: phones of each,
    (rows,).
    """

    phones: NDArray[np.int64]
    left_out: NDArray[np.float64]
    lengths: NDArray[np.int64]

    @classmethod
    def of(cls, spoken: Sequence[Spoken], costs: PhoneCosts) -> Rows:
        """Phrases as phones."""
        lengths = np.array([len(each) for each in spoken], dtype=np.int64)
        width = int(lengths.max(initial=0))
        phones = np.zeros((len(spoken), width), dtype=np.int64)
        gone = np.zeros((len(spoken), width + 1))
        for row, each in enumerate(spoken):
            for place, (phone, ends) in enumerate(each):
                phones[row, place] = NUMBER[phone]
                gone[row, place + 1] = (costs.at_end if ends else costs.gone)[NUMBER[phone]]
        return cls(phones, np.cumsum(gone, axis=1), lengths)

    def those(self, places: NDArray[np.intp]) -> Rows:
        """Some of them."""
        return Rows(self.phones[places], self.left_out[places], self.lengths[places])


class _Table:
    """Cheapest cost of each state of a network against each beginning of each spoken phrase (Wagner
    and Fischer 1974, on a network instead of a string).
    """

    def __init__(self, spoken: Rows, sounds: Sounds, costs: PhoneCosts) -> None:
        self._costs = costs
        self._sounds = sounds
        self._phones = spoken.phones
        self._left_out = spoken.left_out
        self._lengths = spoken.lengths
        self._rows: dict[int, NDArray[np.float64]] = {}
        self._fill()

    def _fill(self) -> None:
        arcs = self._sounds.arcs
        start = arcs[0][0] if arcs else 0
        self._rows[start] = self._left_out.copy()
        self._into: dict[int, list[tuple[int, int, str, bool, str]]] = {}
        for arc in arcs:
            self._into.setdefault(arc[1], []).append(arc)
        for state in sorted(self._into):
            row = np.min([self._along(arc) for arc in self._into[state]], axis=0)
            self._rows[state] = np.minimum.accumulate(row - self._left_out, axis=1) + self._left_out

    def _along(self, arc: tuple[int, int, str, bool, str]) -> NDArray[np.float64]:
        begin, _, phone, ends, _ = arc
        before: NDArray[np.float64] = self._rows[begin]
        if not phone:
            return before
        number = NUMBER[phone]
        after: NDArray[np.float64] = (
            before + (self._costs.at_end if ends else self._costs.gone)[number]
        )
        after[:, 1:] = np.minimum(
            after[:, 1:], before[:, :-1] + self._costs.instead[number][self._phones]
        )
        return after

    def last(self, state: int) -> NDArray[np.float64]:
        """Cost of each whole phrase against what leads to a state."""
        if state not in self._rows:
            return np.full(len(self._lengths), FAR)
        found: NDArray[np.float64] = self._rows[state][np.arange(len(self._lengths)), self._lengths]
        return found

    def phrase(self, end: int) -> str:
        """The words on the cheapest way to a state, for the first spoken phrase."""
        here = _Step(end, int(self._lengths[0]))
        while here.state in self._into or here.place:
            value = self._value(here)
            here = next(
                step
                for step in self._back(here)
                if abs(self._value(step) + step.spent - here.spent - value) < EVEN
            )
        return " ".join(here.words)

    def within(self, most: float) -> list[Near]:
        """Every phrase whose cheapest way costs no more than `most`, walked back from its end; may
        give one twice.
        """
        waiting = [_Step(state, int(self._lengths[0])) for state in self._sounds.finals]
        seen: dict[tuple[int, int, tuple[str, ...]], float] = {}
        while waiting:
            here = waiting.pop()
            if (
                self._value(here) + here.spent > most + EVEN
                or seen.get(here.key, FAR) <= here.spent
            ):
                continue
            seen[here.key] = here.spent
            waiting += self._back(here)
        start = self._sounds.arcs[0][0]
        return [
            Near(" ".join(words), spent)
            for (state, place, words), spent in seen.items()
            if (state, place) == (start, 0)
        ]

    def _value(self, step: _Step) -> float:
        return float(self._rows[step.state][0, step.place]) if step.state in self._rows else FAR

    def _back(self, here: _Step) -> Iterator[_Step]:
        """Every step that may have come before."""
        place = here.place
        if place:
            left_out = self._left_out[0, place] - self._left_out[0, place - 1]
            yield _Step(here.state, place - 1, here.spent + left_out, here.words)
        for begin, _, phone, ends, word in self._into.get(here.state, ()):
            words = (word, *here.words) if word else here.words
            if not phone:
                yield _Step(begin, place, here.spent, words)
                continue
            number = NUMBER[phone]
            more = (self._costs.at_end if ends else self._costs.gone)[number]
            yield _Step(begin, place, here.spent + more, words)
            if place:
                instead = self._costs.instead[number][self._phones[0, place - 1]]
                yield _Step(begin, place - 1, here.spent + instead, words)


@dataclass(frozen=True)
class _Step:
    """A place in the table on the way back: state, phones of the phrase before it, cost and words
    after it.
    """

    state: int
    place: int
    spent: float = 0.0
    words: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[int, int, tuple[str, ...]]:
        return (self.state, self.place, self.words)
