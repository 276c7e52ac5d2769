"""Dynamic-programming table for phonetic distances: one row per phrase, filled along a word
network.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.lexicon.phone_costs import NUMBER, PhoneCosts

FAR = 1e9


EVEN = 1e-9
"""Tolerance within which costs are equal."""


@dataclass(frozen=True)
class Sounds:
    """A language as phones: an acyclic network with its states in topological order.

    arcs: (from, to, phone, whether a word ends with it, word); phone "" is an epsilon transition,
    word "" within one.
    """

    arcs: tuple[tuple[int, int, str, bool, str], ...]
    states: int
    finals: frozenset[int]


@dataclass(frozen=True)
class Near:
    """The phonetically nearest phrase of a network, and its distance."""

    phrase: str
    distance: float


SpokenPhones = list[tuple[str, bool]]
"""Phones, each with a word-end flag."""


@dataclass(frozen=True, eq=False)
class Rows:
    """Phrases prepared for comparison with networks, one per row. phones: shape (rows, most
    phones). left_out: deletion cost of that many of them, (rows, most + 1). lengths: number of
    phones, (rows,).
    """

    phones: NDArray[np.int64]
    left_out: NDArray[np.float64]
    lengths: NDArray[np.int64]

    @classmethod
    def of(cls, spoken: Sequence[SpokenPhones], costs: PhoneCosts) -> Rows:
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
        """A subset."""
        return Rows(self.phones[places], self.left_out[places], self.lengths[places])


class DistanceTable:
    """Minimum cost of each network state against each prefix of each spoken phrase (Wagner and
    Fischer 1974, on a network instead of a string).
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
        """Cost of each whole phrase against paths to a state."""
        if state not in self._rows:
            return np.full(len(self._lengths), FAR)
        found: NDArray[np.float64] = self._rows[state][np.arange(len(self._lengths)), self._lengths]
        return found

    def phrase(self, end: int) -> str:
        """The words on the cheapest path to a state, for the first spoken phrase."""
        here = BacktrackStep(end, int(self._lengths[0]))
        while here.state in self._into or here.place:
            value = self._value(here)
            here = next(
                step
                for step in self._back(here)
                if abs(self._value(step) + step.spent - here.spent - value) < EVEN
            )
        return " ".join(here.words)

    def within(self, most: float) -> list[Near]:
        """Every phrase whose minimum cost is at most `most`, by backtracking; may yield
        duplicates.
        """
        waiting = [BacktrackStep(state, int(self._lengths[0])) for state in self._sounds.finals]
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

    def _value(self, step: BacktrackStep) -> float:
        return float(self._rows[step.state][0, step.place]) if step.state in self._rows else FAR

    def _back(self, here: BacktrackStep) -> Iterator[BacktrackStep]:
        """Every possible predecessor."""
        place = here.place
        if place:
            left_out = self._left_out[0, place] - self._left_out[0, place - 1]
            yield BacktrackStep(here.state, place - 1, here.spent + left_out, here.words)
        for begin, _, phone, ends, word in self._into.get(here.state, ()):
            words = (word, *here.words) if word else here.words
            if not phone:
                yield BacktrackStep(begin, place, here.spent, words)
                continue
            number = NUMBER[phone]
            more = (self._costs.at_end if ends else self._costs.gone)[number]
            yield BacktrackStep(begin, place, here.spent + more, words)
            if place:
                instead = self._costs.instead[number][self._phones[0, place - 1]]
                yield BacktrackStep(begin, place - 1, here.spent + instead, words)


@dataclass(frozen=True)
class BacktrackStep:
    """A cell on the way back: state, phones of the phrase before it, cost and words after it."""

    state: int
    place: int
    spent: float = 0.0
    words: tuple[str, ...] = ()

    @property
    def key(self) -> tuple[int, int, tuple[str, ...]]:
        return (self.state, self.place, self.words)
