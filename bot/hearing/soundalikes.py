"""Which of many phrases sound most like one: what somebody may have said to another question, or about another part."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
from numpy.typing import NDArray

from bot.hearing.distance import Ways
from bot.hearing.phone_costs import NUMBER, PhoneCosts, carried_costs

NEAREST = 3.5
"""Phones apart, see phone_costs.toml, up to which a phrase may be heard for another."""

MOST_APART = 5
"""Phones by which they may differ in length: more would be "d" and "t" at the ends of words, and little else."""

_Spoken = list[tuple[int, float]]
"""Phones by their numbers, each with what it costs to leave it out."""


class SoundAlikes:
    """Phrases as phones, each said in its first way, to be searched for those near another. Safe for several
    threads."""

    def __init__(self, phrases: Iterable[str], ways: Ways, costs: PhoneCosts | None = None) -> None:
        """Phrases with a word that nobody knows how to say are left out."""
        self._ways, self._costs = ways, costs or carried_costs()
        spoken = {phrase: self._spoken(phrase) for phrase in dict.fromkeys(phrases)}
        spoken = {phrase: phones for phrase, phones in spoken.items() if phones}
        self._phrases = np.array(list(spoken), dtype=object)
        self._lengths = np.array([len(phones) for phones in spoken.values()], dtype=int)
        shape = len(spoken), int(self._lengths.max(initial=0))
        self._phones, self._gone = np.zeros(shape, dtype=int), np.zeros(shape)
        for row, phones in enumerate(spoken.values()):
            self._phones[row, : len(phones)], self._gone[row, : len(phones)] = zip(*phones, strict=True)

    def __len__(self) -> int:
        return len(self._phrases)

    def near(self, phrase: str, wanted: Callable[[str], bool], most: int) -> list[str]:
        """Up to so many of them that are wanted and sound like the phrase, nearest first, without the phrase itself."""
        phones = self._spoken(phrase)
        alike = np.flatnonzero(np.abs(self._lengths - len(phones)) <= MOST_APART)
        if not phones or not len(alike):
            return []
        far = self._distances(phones, alike)
        order = [place for place in np.argsort(far, kind="stable") if far[place] <= NEAREST]
        found: list[str] = []
        for said in self._phrases[alike[order]]:
            if said != phrase and wanted(said):
                found.append(said)
                if len(found) == most:
                    break
        return found

    def _distances(self, phones: _Spoken, rows: NDArray[np.intp]) -> NDArray[np.float64]:
        """Cheapest cost of turning the phones into those of each row (Wagner and Fischer 1974, all rows at once)."""
        table = self._phones[rows]
        added = np.zeros((len(rows), table.shape[1] + 1))
        added[:, 1:] = np.cumsum(self._gone[rows], axis=1)
        here = added.copy()
        for phone, gone in phones:
            better = here + gone
            better[:, 1:] = np.minimum(better[:, 1:], here[:, :-1] + self._costs.instead[phone][table])
            # what is left out of a row may follow on whatever came before it
            here = added + np.minimum.accumulate(better - added, axis=1)
        far: NDArray[np.float64] = here[np.arange(len(rows)), self._lengths[rows]]
        return far

    def _spoken(self, phrase: str) -> _Spoken:
        ways = [self._ways(word) for word in phrase.split()]
        if not all(ways):
            return []
        costs = self._costs
        phones = [(NUMBER[phone], place == len(way[0]) - 1) for way in ways for place, phone in enumerate(way[0])]
        return [(phone, float((costs.at_end if ends else costs.gone)[phone])) for phone, ends in phones]
