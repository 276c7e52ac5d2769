"""Ranking of meanings by similarity to example sentences. It orders offers, and keeps a fault from
being entered without asking where another is clearly nearer; it never enters anything.

Words and character n-grams are weighted by their rarity among all examples (TF-IDF; Salton and
Buckley, 1988); the nearest example is the one with the greatest cosine similarity.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Collection, Iterable, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import Protocol

import numpy as np
import numpy.typing as npt

from doorround.understanding.word_data import choice_words, examples_of, part_words
from doorround.understanding.words_of_text import tokens_of

SOUND = "sound"
CANNOT = "cannot"
LETTERS = (3, 4)
"""Lengths of the character n-grams that are compared as well as whole words."""
WORD_WEIGHT = 2.0
RUN_WEIGHT = 0.5
CLEARLY_NEARER = 0.8
"""A fault that was read is this near at least, of the nearness of another, or it is read back.
Chosen on the tables of own words: of 521 right entries 47 are read back instead.
"""


class Ranker(Protocol):
    """Ranks the meanings of one question. key: a component, or the rule of a choice."""

    def rank(self, key: str, text: str) -> list[tuple[str, float]]:
        """Meanings with their similarity, 0 to 1, nearest first."""
        ...


def meanings_of(key: str) -> tuple[tuple[str, str], ...]:
    """Examples of all meanings for a component or the rule of a choice: (meaning, sentence)."""
    if key in part_words():
        return examples_of(key)
    return tuple((value, each) for value, many in choice_words(key).items() for each in many)


def features(text: str) -> Counter[str]:
    """Counts of stems, character n-grams in them, and pairs of adjacent stems."""
    stems = [token.stem for token in tokens_of(text)]
    found: Counter[str] = Counter(stems)
    for stem in stems:
        bounded = f"^{stem}$"
        for length in LETTERS:
            runs = range(len(bounded) - length + 1)
            found.update(f"~{bounded[at : at + length]}" for at in runs)
    found.update(f"{one} {other}" for one, other in pairwise(stems))
    return found


class TfidfRanker:
    """Compares words and character n-grams only. Needs no model."""

    def rank(self, key: str, text: str) -> list[tuple[str, float]]:
        """Rank each meaning by its nearest example."""
        space = _space(key)
        best: dict[str, float] = {}
        for meaning, nearness in zip(space.meanings, space.nearness(text), strict=True):
            best[meaning] = max(best.get(meaning, 0.0), float(nearness))
        return sorted(best.items(), key=lambda each: -each[1])


def nearer_to_another(ranked: Iterable[tuple[str, float]], told: Collection[str | None]) -> bool:
    """Whether a text as a whole is clearly nearer to the examples of another fault of a part than
    to those of the faults that were read in it: a second opinion on what its words were taken for.
    ranked: the meanings of the text with their nearness, 0 to 1; told: the faults' names.
    """
    faults = [(name, near) for name, near in ranked if name not in (SOUND, CANNOT)]
    own = max((near for name, near in faults if name in told), default=0.0)
    another = max((near for name, near in faults if name not in told), default=0.0)
    return own < CLEARLY_NEARER * another


Postings = tuple[npt.NDArray[np.int32], npt.NDArray[np.float32]]


class _Space:
    """Inverted index of one question's examples: feature → examples and weights."""

    def __init__(self, examples: Sequence[tuple[str, str]]) -> None:
        self.meanings = tuple(meaning for meaning, _ in examples)
        texts = [features(text) for _, text in examples]
        seen = Counter(name for each in texts for name in each)
        self._rarity = {name: math.log(1 + len(texts) / count) for name, count in seen.items()}
        self._unknown = math.log(2 + len(texts))
        rows: dict[str, list[tuple[int, float]]] = defaultdict(list)
        for place, each in enumerate(texts):
            for name, weight in self._weights(each).items():
                rows[name].append((place, weight))
        self._postings: dict[str, Postings] = {
            name: (
                np.array([at for at, _ in row], np.int32),
                np.array([weight for _, weight in row], np.float32),
            )
            for name, row in rows.items()
        }

    def nearness(self, text: str) -> npt.NDArray[np.float32]:
        """Cosine similarity of a text to each example."""
        found = np.zeros(len(self.meanings), np.float32)
        for name, weight in self._weights(features(text)).items():
            if name in self._postings:
                at, weights = self._postings[name]
                found[at] += weight * weights
        return found

    def _weights(self, counts: Counter[str]) -> dict[str, float]:
        """Weights of one text's features, normalised to length 1."""
        found = {
            name: (RUN_WEIGHT if name.startswith("~") else WORD_WEIGHT)
            * (1 + math.log(count))
            * self._rarity.get(name, self._unknown)
            for name, count in counts.items()
        }
        length = math.sqrt(sum(weight**2 for weight in found.values()))
        return {name: weight / length for name, weight in found.items()}


@lru_cache(maxsize=64)
def _space(key: str) -> _Space:
    return _Space(meanings_of(key))
