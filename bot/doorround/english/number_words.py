"""Converts numbers to English words and back: "thirteen", "twenty first", "a hundred and one",
"13th".

British and American, with "and" and without it. Common knowledge, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache

ONES = (
    "zero",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
)
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
NOUGHTS = ("oh", "zero", "nought")
"""Words for the digit 0 in a digit sequence."""

BELOW_HUNDRED = {word: number for number, word in enumerate(ONES)} | {
    word: 10 * (place + 2) for place, word in enumerate(TENS)
}
"""The words that make up every number below a hundred."""

MAX_CARDINAL = 9999
"""The greatest number supported in words."""

_NTH = {
    "one": "first",
    "two": "second",
    "three": "third",
    "five": "fifth",
    "eight": "eighth",
    "nine": "ninth",
}
_NTH |= {"twelve": "twelfth"} | {tens: f"{tens[:-1]}ieth" for tens in TENS}
_NTH = {word: _NTH.get(word, f"{word}th") for word in (*ONES, *TENS, "hundred", "thousand")}
_NOT_NTH = {nth: word for word, nth in _NTH.items()}
_HYPHEN = re.compile(r"(?<=[a-z])-(?=[a-z])")
_DIGITS = re.compile(r"(\d{1,4})(?:st|nd|rd|th)?")

NUMBER_WORDS = frozenset((*BELOW_HUNDRED, "nought", "hundred", "thousand"))
"""Every word of a cardinal number."""
ORDINAL_WORDS = frozenset(_NOT_NTH) - {"zeroth"}
"""Every last word of an ordinal number."""


def below_hundred(number: int) -> str:
    """0 to 99 in words."""
    if number < len(ONES):
        return ONES[number]
    tens, ones = divmod(number, 10)
    return TENS[tens - 2] + (f" {ONES[ones]}" if ones else "")


def cardinals(number: int) -> tuple[str, ...]:
    """0 to 9999 in words: first with "and" before the last two digits, then without.

    Raises ValueError beyond.
    """
    if not 0 <= number <= MAX_CARDINAL:
        raise ValueError(f"{number} has no words here: 0 to {MAX_CARDINAL}")
    thousands, rest = divmod(number, 1000)
    hundreds, below = divmod(rest, 100)
    head = [f"{ONES[thousands]} thousand"] if thousands else []
    head += [f"{ONES[hundreds]} hundred"] if hundreds else []
    if not head or not below:
        return (" ".join(head) or below_hundred(below),)
    return " ".join([*head, "and", below_hundred(below)]), " ".join([*head, below_hundred(below)])


def cardinal(number: int) -> str:
    """0 to 9999 in words: "nine hundred and twenty six"."""
    return cardinals(number)[0]


def ordinal(number: int) -> str:
    """1 to 9999 as "first", "twenty first", "one hundred and first"."""
    before, _, last = cardinal(number).rpartition(" ")
    return f"{before} {_NTH[last]}".strip()


@lru_cache(maxsize=4096)
def number_in(words: str) -> int | None:
    """Parse words or figures, cardinal or ordinal: "thirteen", "13th", "twenty-first", "a hundred
    and one". None for anything else.
    """
    plain = " ".join(_HYPHEN.sub(" ", words.lower()).split())
    if found := _DIGITS.fullmatch(plain):
        return int(found[1])
    said = plain.split()
    if said and said[-1] in _NOT_NTH:
        said[-1] = _NOT_NTH[said[-1]]
    return _spelled().get(" ".join(["one", *said[1:]] if said[:1] == ["a"] else said))


@lru_cache(maxsize=1)
def _spelled() -> dict[str, int]:
    return {words: number for number in range(MAX_CARDINAL + 1) for words in cardinals(number)} | {
        "nought": 0
    }
