"""Finds phrases that sound most like a given one: answers to another question, or about another
part, that may have been said.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from doorround.hearing.lexicon.distance_table import Rows
from doorround.hearing.lexicon.phone_costs import bundled_costs
from doorround.hearing.lexicon.phone_distance import Ways, to_rows, ways_to_speak
from doorround.hearing.lexicon.pronunciations import Phones

NEAREST = 3.5
"""Maximum distance, see phone_costs.toml, at which a phrase may be misrecognised as another."""

MAX_APART = 5
"""Maximum difference in number of phones: more would allow only "d" and "t" at the ends of words,
and little else.
"""


class SoundAlikes:
    """Phrases as phones, in their first pronunciation, indexed for nearest-neighbour search.
    Thread-safe.
    """

    def __init__(self, phrases: Iterable[str], ways: Ways) -> None:
        """Phrases containing a word without a pronunciation are left out."""
        self._ways = ways
        spoken = {
            phrase: said
            for phrase in dict.fromkeys(phrases)
            for said in ways_to_speak(phrase, self._first_way)
        }
        self._phrases = np.array(list(spoken), dtype=object)
        self._rows = Rows.of(list(spoken.values()), bundled_costs())

    def __len__(self) -> int:
        return len(self._phrases)

    def near(self, phrase: str, wanted: Callable[[str], bool], most: int) -> list[str]:
        """Up to that many wanted phrases that sound like the phrase, nearest first, without the
        phrase itself.
        """
        said = ways_to_speak(phrase, self._first_way)
        alike = (
            np.flatnonzero(np.abs(self._rows.lengths - len(said[0])) <= MAX_APART)
            if said
            else np.array([], int)
        )
        if not len(alike):
            return []
        far = to_rows(phrase, self._rows.those(alike), self._first_way, bundled_costs())
        order = [place for place in np.argsort(far, kind="stable") if far[place] <= NEAREST]
        found: list[str] = []
        for other in self._phrases[alike[order]]:
            if other != phrase and wanted(other):
                found.append(other)
                if len(found) == most:
                    break
        return found

    def _first_way(self, word: str) -> tuple[Phones, ...]:
        return tuple(self._ways(word)[:1])
