"""Grapheme-to-phoneme conversion: pronunciations from the dictionaries, otherwise guessed from
spelling.

A guess is shown to people in readable form and has to be confirmed before an engine relies on it.
"""

from __future__ import annotations

import re
from functools import lru_cache

from doorround.english.spelling import LETTER_NAMES
from doorround.hearing.lexicon.letter_model import bundled_letter_model
from doorround.hearing.lexicon.pronunciations import Phones, Pronunciations, non_rhotic

CARRIED = Pronunciations({})
"""The built-in dictionary only."""

MIN_LETTERS = 4
"""Minimum length of each half of a compound: shorter matches are coincidences, since the dictionary
is full of names.
"""

_PLAIN = str.maketrans("àáâäãåçèéêëìíîïñòóôöõùúûüýÿ", "aaaaaaceeeeiiiinooooouuuuyy")
_VOWEL = re.compile("[aeiouy]")


def pronounce(word: str, known: Pronunciations = CARRIED) -> list[str]:
    """Pronunciations of a word, most likely first, as phones of the CMU dictionary: "W EH S T".
    Never fails.

    Known words as listed, then British variants; others guessed from spelling. [] only if there is
    no letter.
    """
    return [" ".join(way) for way in pronunciations_of(word, known)]


def is_known(word: str, known: Pronunciations = CARRIED) -> bool:
    """Whether a dictionary has the word, so that no guess is needed."""
    return bool(known.written(word.lower()))


def pronunciations_of(word: str, known: Pronunciations = CARRIED) -> tuple[Phones, ...]:
    """The same as tuples of phones."""
    written = word.lower().strip()
    if ways := known.ways(written):
        return ways
    parts = re.findall("[a-z]+", written.translate(_PLAIN).replace("'", ""))
    if not parts:
        return ()
    guessed = tuple(phone for part in parts for phone in _part(part, known))
    return tuple(dict.fromkeys((guessed, non_rhotic(guessed))))


@lru_cache(maxsize=4096)
def first_way(word: str) -> tuple[Phones, ...]:
    """The most likely pronunciation of a word, in a tuple of one; () if there is no letter."""
    return pronunciations_of(word)[:1]


def _part(part: str, known: Pronunciations) -> Phones:
    """One run of letters: a known word, an initialism, a compound of two known words, or
    a guess.
    """
    if len(part) > 1 and (ways := known.written(part)):
        return ways[0]
    if len(part) == 1 or not _VOWEL.search(part):
        return tuple(phone for letter in part for phone in LETTER_NAMES[letter].split())
    return _joined(part, known) or bundled_letter_model().say(part)


def _joined(part: str, known: Pronunciations) -> Phones:
    """Two words written as one, "hollybank"; () if it is not.

    Split as close to the middle as possible.
    """
    cuts = sorted(
        range(MIN_LETTERS, len(part) - MIN_LETTERS + 1), key=lambda cut: abs(2 * cut - len(part))
    )
    for cut in cuts:
        if (first := known.written(part[:cut])) and (second := known.written(part[cut:])):
            return (*first[0], *second[0])
    return ()
