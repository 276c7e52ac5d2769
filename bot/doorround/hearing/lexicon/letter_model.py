"""Letter-to-sound model for unknown English words, trained on the CMU dictionary.

letters.gz maps a letter in context to phones; `python scripts/fit_letters.py` generates it. The
longest known context decides. Trained on 19 words in 20 and tested on the 5,794 others: 10.2 %
phone error rate, 55.9 % of words entirely right (`python scripts/fit_letters.py --measure`, two
minutes): a guess, to be checked.
"""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

CONTEXTS = ((4, 4), (3, 4), (3, 3), (2, 3), (2, 2), (1, 2), (1, 1), (0, 1), (0, 0))
"""Context widths before and after a letter, widest first.

English spelling depends more on what follows.
"""

SILENT = "-"
_EDGE = "#"
_WIDEST = 4


def context(word: str, place: int, width: tuple[int, int]) -> str:
    """A letter in context: "##|d|oor" is the first letter of "door".

    Word boundaries are #.
    """
    edged = _EDGE * _WIDEST + word + _EDGE * _WIDEST
    here = place + _WIDEST
    before, after = width
    return f"{edged[here - before : here]}|{edged[here]}|{edged[here + 1 : here + 1 + after]}"


class LetterModel:
    """A table of contexts, as written by scripts/fit_letters.py."""

    def __init__(self, table: Mapping[str, str]) -> None:
        self._table = table

    def say(self, word: str) -> tuple[str, ...]:
        """Phones of a lower-case word of letters a to z.

        The longest known context decides each letter.
        """
        said: list[str] = []
        for place in range(len(word)):
            where = (context(word, place, width) for width in CONTEXTS)
            sounds = next((self._table[each] for each in where if each in self._table), SILENT)
            said += [] if sounds == SILENT else sounds.split()
        return tuple(
            phone for place, phone in enumerate(said) if place == 0 or said[place - 1] != phone
        )


@lru_cache(maxsize=1)
def bundled_letter_model() -> LetterModel:
    """The bundled table."""
    text = gzip.decompress(Path(__file__).with_name("letters.gz").read_bytes()).decode()
    return LetterModel(dict(line.split("\t") for line in text.splitlines()))
