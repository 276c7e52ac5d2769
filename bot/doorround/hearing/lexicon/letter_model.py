"""How an unknown English word is probably said, letter by letter, as learned from the CMU
dictionary.

letters.gz holds, for a letter between its neighbours, the phones it gives; `python
scripts/fit_letters.py` makes it. The longest context known decides. Learned from 19 words in 20 and
tried on the 5,794 others, 10.2 % of phones were wrong and 55.9 % of words wholly right (`python
scripts/fit_letters.py --measure`, two minutes): a guess, to be checked.
"""

from __future__ import annotations

import gzip
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

CONTEXTS = ((4, 4), (3, 4), (3, 3), (2, 3), (2, 2), (1, 2), (1, 1), (0, 1), (0, 0))
"""Letters before and after that are looked at, the widest first.

English spelling depends more on what follows.
"""

SILENT = "-"
_EDGE = "#"
_WIDEST = 4


def context(word: str, place: int, width: tuple[int, int]) -> str:
    """A letter between its neighbours: "##|d|oor" is the first letter of "door".

    Edges of the word are #.
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
        """Phones of a word of letters a to z, lower case.

        The longest context known decides each letter.
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
def carried_letter_model() -> LetterModel:
    """The table that travels with the program."""
    text = gzip.decompress(Path(__file__).with_name("letters.gz").read_bytes()).decode()
    return LetterModel(dict(line.split("\t") for line in text.splitlines()))
