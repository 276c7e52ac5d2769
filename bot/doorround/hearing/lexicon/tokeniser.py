"""Tokenises typed text into grammar words: numbers spelled out, abbreviations expanded, typing
errors corrected.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

from rapidfuzz.distance import DamerauLevenshtein

from doorround.english.denials import NO, UN
from doorround.english.fillers import KEPT_SHORT, SMALL_WORDS
from doorround.english.number_words import MAX_CARDINAL, ONES, cardinal
from doorround.english.units import FRACTIONS, TYPED_SIGNS

Readings = Sequence[Sequence[tuple[str, int]]]
"""For each word its candidates, each with the number of letters corrected."""

_SHORT = {
    "ok": "okay",
    "millimeter": "millimetre",
    "millimeters": "millimetres",
    "center": "centre",
    "mm": "millimetres",
    "havent": "haven't",
    "theres": "there's",
    "theyre": "they're",
    "they've": "they",
    "kg": "kilograms",
    "kgs": "kilograms",
    "inchs": "inches",
    "sec": "seconds",
    "secs": "seconds",
    "n": "newtons",
    "lbf": "pounds",
    "cant": "can't",
    "wont": "won't",
    "isnt": "isn't",
    "arent": "aren't",
    "doesnt": "doesn't",
    "dont": "don't",
    "didnt": "didn't",
    "couldnt": "couldn't",
    "thats": "that's",
    "its": "it's",
    "im": "i'm",
    "wasnt": "wasn't",
    "u": "you",
}
_TOKEN = re.compile(r"\d+/\d+|\d+[.,]\d+|\d+|[a-z]+(?:'[a-z]+)*|[^\s,;:.!?\"()\-]+")

# No number of a door has more characters; anything longer is not a number.
MAX_NUMBER = 12
# A word of this many letters or fewer is not corrected: "no" and "on" are one error apart.
TAKEN_AS_TYPED = 3
# From this length two errors are corrected, below it one.
TWO_SLIPS_FROM = 8


def split_words(text: str) -> tuple[str, ...]:
    """Words of a typed text, lower case, numbers spelled out: '1/8"' → ("one", "eighth",
    "inch").
    """
    text = re.sub(r"(?<=\w)\s*\u2026\s*$", "", text.lower())  # "fine …"
    for sign, plain in TYPED_SIGNS.items():
        text = text.replace(sign, plain)
    text = re.sub(r"(\d)\s*(?:\"|''|in\b)", r"\1 inch ", text)
    text = re.sub(r"\bfd\s*(\d+)\s*(s?)\b", r"\1 \2", text)
    text = re.sub(r"(\d)(?=[a-z])", r"\1 ", text)
    words: list[str] = []
    after_number = False
    for token in _TOKEN.findall(text):
        number = _number(token)
        if number and after_number:
            words.append("and" if "/" in token else "then")  # "3 1/2" is one number, "20 6" is two
        words += number or [_plain(token)]
        after_number = number is not None
    return tuple(words)


def _plain(token: str) -> str:
    token = _SHORT.get(token, token)
    return token.removesuffix("'s") if token not in KEPT_SHORT else token


def _number(token: str) -> list[str] | None:
    if not token[0].isdecimal() or len(token) > MAX_NUMBER:
        return None
    if "/" in token:
        above, below = (int(part) for part in token.split("/"))
        part = FRACTIONS.get(below)
        return [*_whole(above), part[above > 1]] if part else None
    whole, _, decimals = token.replace(",", ".").partition(".")
    spoken = _whole(int(whole))
    return spoken if not decimals else [*spoken, "point", *(ONES[int(digit)] for digit in decimals)]


def _whole(number: int) -> list[str]:
    return cardinal(number).split() if number <= MAX_CARDINAL else [str(number)]


def readings(word: str, vocabulary: frozenset[str]) -> tuple[tuple[str, int], ...]:
    """Candidates for a typed word, with the number of errors: itself if known, otherwise the
    nearest words.

    Short words are not corrected, and a known word is never replaced by another.
    """
    if word in vocabulary:
        return ((word, 0),)
    if len(word) <= TAKEN_AS_TYPED:
        return ()
    most = 2 if len(word) >= TWO_SLIPS_FROM else 1
    return _nearest(word, vocabulary, most)


@lru_cache(maxsize=4096)
def _nearest(word: str, vocabulary: frozenset[str], most: int) -> tuple[tuple[str, int], ...]:
    near = [
        (DamerauLevenshtein.distance(word, known, score_cutoff=most), known) for known in vocabulary
    ]
    found = {known: slips for slips, known in sorted(near) if slips <= most}
    if any(found.get(UN + known) == slips == min(found.values()) for known, slips in found.items()):
        return ()  # "udamaged"
    return tuple(each for each in found.items() if not _denied(word, *each, found))


def _denied(word: str, known: str, slips: int, found: dict[str, int]) -> bool:
    """Whether this correction removes an "un" or a "no", "unobstructed" for "obstructed", or its
    opposite is nearer.
    """
    if word.startswith(UN) and not known.startswith(UN):
        return True
    if word.startswith(NO) and not known.startswith(NO):  # "nocracks", "nodamage"
        return True
    return (
        found.get(
            known.removeprefix(UN) if known.startswith(UN) else UN + known,
            slips,
        )
        < slips
    )


def says_twice(phrase: str) -> bool:
    """Whether words are repeated: two in a row immediately, the first two at the end, or any three.
    Small words and a plural's s are ignored.
    """
    words = [word.removesuffix("s") for word in phrase.split() if word not in SMALL_WORDS]
    twos = list(pairwise(words))
    threes = list(zip(words, words[1:], words[2:], strict=False))
    at_once = any(one == other for one, other in zip(twos, twos[2:], strict=False))
    return at_once or (len(words) > 3 and twos[0] == twos[-1]) or len(set(threes)) < len(threes)
