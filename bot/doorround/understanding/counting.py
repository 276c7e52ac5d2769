"""Counts in words: "three of em", "top middle and bottom", "2 top 1 bottom"."""

from __future__ import annotations

import re
from dataclasses import dataclass

from doorround.english.number_words import ONES
from doorround.understanding.word_data import measure_words
from doorround.understanding.words_of_text import tokens_of

_NUMBERS = {word: number for number, word in enumerate(ONES)}
_TOTAL = re.compile(r"\b(?:so|makes|total|altogether|that is|that's) \w+$")
"""A sum at the end, after what was counted."""
MAX_COUNT = 12
PLACES = ("top", "middle", "bottom", "above", "below")


@dataclass(frozen=True)
class Counted:
    """numbers: possible values. sure: there is one number, and every word is known."""

    numbers: tuple[int, ...]
    sure: bool


def count(text: str) -> Counted:
    """The numbers that a text names."""
    words = [token.text for token in tokens_of(text)]
    table = measure_words("count")
    phrases = sorted(
        (
            (phrase.split(), int(key))
            for key, each in table.items()
            if key.isdigit()
            for phrase in each
        ),
        key=lambda each: -len(each[0]),
    )
    numbers: list[int] = []
    rest: list[str] = []
    while words:
        held = next((each for each in phrases if words[: len(each[0])] == each[0]), None)
        if held:
            numbers.append(held[1])
            words = words[len(held[0]) :]
            continue
        word = words.pop(0)
        if word in _NUMBERS or word.isdigit():
            numbers.append(_NUMBERS[word] if word in _NUMBERS else int(word))
        else:
            rest.append(word)
    if len(numbers) > 1 and len(numbers) == sum(word in PLACES for word in rest):
        numbers = [sum(numbers)]  # "2 top 1 bottom"
        rest = [word for word in rest if word not in PLACES]
    if len(numbers) > 1 and _TOTAL.search(text.lower()):
        numbers = numbers[-1:]  # "…, and one behind the closer, so four"
    if len(numbers) > 2 and numbers == list(range(1, len(numbers) + 1)):
        numbers = numbers[-1:]  # "one two three … four"
    found = tuple(dict.fromkeys(each for each in numbers if each <= MAX_COUNT))
    return Counted(found, len(found) == 1 and all(word in table["fillers"] for word in rest))
