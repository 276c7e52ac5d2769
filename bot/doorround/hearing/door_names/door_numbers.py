"""Spoken forms of door numbers. "2.14" is "two point one four", "two fourteen", "two hundred and
fourteen".

Ways of saying numbers and letters: common practice, no source; the spelling words are those of the
international radiotelephony alphabet (from memory).
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import product

from doorround.english import number_words
from doorround.english.number_words import BELOW_HUNDRED, NOUGHTS, ONES, below_hundred, cardinals
from doorround.english.spelling import BETWEEN, BETWEEN_WORDS, LETTERS, SPELLED

MAX_WHOLE = 4
"""Maximum digits of a number also said as a whole, "two thousand and fourteen", or in pairs,
"twenty fourteen".
"""

MAX_RUNS = 5
MAX_WAYS = 96

_RUN = re.compile(r"\d+|[a-z]|[./-]")
_DIGIT = {word: str(digit) for digit, word in enumerate(ONES[:10])} | dict.fromkeys(NOUGHTS, "0")
NUMBER_WORDS = number_words.NUMBER_WORDS | {"oh", "double"}


def key(number: str) -> str:
    """Letters and digits of a number, lower case: the key shared by its spellings."""
    return "".join(character for character in number.lower() if character.isalnum())


def ways(number: str) -> tuple[str, ...]:
    """Spoken forms of a number, most common first.

    Empty for a number with other characters.
    """
    runs = _RUN.findall(number.lower().replace(" ", ""))
    if not key(number) or key("".join(runs)) != key(number) or len(runs) > 2 * MAX_RUNS:
        return ()
    said = [tuple(_run(run)) for run in runs]
    found = dict.fromkeys(" ".join(part for part in way if part) for way in _some(said))
    digits = "".join(run for run in runs if run.isdigit())
    if (
        "".join(runs).strip("./-")
        and all(run.isdigit() or run in BETWEEN for run in runs)
        and len(runs) > 1
    ):
        found.update(dict.fromkeys(_digits(digits)))
    return tuple(found)


def _some(said: list[tuple[str, ...]]) -> Iterator[tuple[str, ...]]:
    for count, way in enumerate(product(*said)):
        if count == MAX_WAYS:
            return
        yield way


def _run(run: str) -> Iterator[str]:
    if run in BETWEEN:
        yield ""
        yield from BETWEEN[run]
    elif run.isdigit():
        yield from _digits(run)
    else:
        yield run
        yield SPELLED[run]


@lru_cache(maxsize=4096)
def _digits(run: str) -> tuple[str, ...]:
    """A run of digits: as hundreds, digit by digit, in pairs, as a whole number."""
    found = [" ".join(NOUGHTS[0] if digit == "0" else ONES[int(digit)] for digit in run)]
    if "0" in run:
        found.append(" ".join(ONES[int(digit)] for digit in run))
    doubled = re.sub(r"(\d)\1", r"d\1", run)
    if doubled != run:
        found.append(
            " ".join(
                "double" if sign == "d" else NOUGHTS[0] if sign == "0" else ONES[int(sign)]
                for sign in doubled
            )
        )
    if len(run) == 2 and run[0] != "0":
        found.insert(0, below_hundred(int(run)))
    elif len(run) in (3, 4) and run[0] != "0":
        first = run[:-2]
        rest = run[-2:]
        before = below_hundred(int(first))
        if rest[0] != "0":
            found.insert(0, f"{before} {below_hundred(int(rest))}")
        elif rest == "00":
            found.insert(0, f"{before} hundred")
        elif len(run) == 4:
            found.append(f"{before} oh {ONES[int(rest[1])]}")
    if len(run) <= MAX_WHOLE and run[0] != "0":
        found += cardinals(int(run))
    return tuple(dict.fromkeys(found))


def keys(words: tuple[str, ...]) -> frozenset[str]:
    """The numbers, as keys, that a run of words may spell; empty if a word is not part of
    a number.
    """
    found: dict[int, set[str]] = {0: {""}}
    for place in range(len(words)):
        for end, piece in _pieces(words, place):
            found.setdefault(end, set()).update(before + piece for before in found.get(place, ()))
    return frozenset(found.get(len(words), set()) - {""})


def _pieces(words: tuple[str, ...], place: int) -> Iterator[tuple[int, str]]:
    word = words[place]
    following = words[place + 1] if place + 1 < len(words) else ""
    if word in BETWEEN_WORDS:
        yield place + 1, ""
    if word in LETTERS:
        yield place + 1, LETTERS[word]
    if word in _DIGIT:
        yield place + 1, _DIGIT[word]
    if word == "double" and following in (*_DIGIT, *LETTERS):
        yield place + 2, 2 * (_DIGIT.get(following) or LETTERS[following])
    for end, number in _wholes(words, place):
        yield end, str(number)


def _wholes(words: tuple[str, ...], place: int) -> Iterator[tuple[int, int]]:
    """Numbers from ten that begin here: "fourteen", "twenty one", "two hundred and four", "two
    thousand".
    """
    for end, number in _below_hundred(words, place):
        if number > 9:
            yield end, number
        if number and words[end : end + 1] == ("hundred",):
            yield from _and_rest(words, end + 1, number * 100)
        if 0 < number < 10 and words[end : end + 1] == ("thousand",):
            yield from _and_rest(words, end + 1, number * 1000)
            for hundreds_end, hundreds in _below_hundred(words, end + 1):
                if 0 < hundreds < 10 and words[hundreds_end : hundreds_end + 1] == ("hundred",):
                    yield from _and_rest(words, hundreds_end + 1, number * 1000 + hundreds * 100)


def _and_rest(words: tuple[str, ...], place: int, number: int) -> Iterator[tuple[int, int]]:
    yield place, number
    start = place + 1 if words[place : place + 1] == ("and",) else place
    for end, below in _below_hundred(words, start):
        if below:
            yield end, number + below


def _below_hundred(words: tuple[str, ...], place: int) -> Iterator[tuple[int, int]]:
    word = words[place] if place < len(words) else ""
    number = BELOW_HUNDRED.get(word)
    if number is None:
        return
    if number >= 20 and place + 1 < len(words) and 0 < BELOW_HUNDRED.get(words[place + 1], 0) < 10:
        yield place + 2, number + BELOW_HUNDRED[words[place + 1]]
    yield place + 1, number
