"""Answers with one of a few values: register facts, yes or no."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.understanding.lexicon import Item, Role
from doorround.understanding.phrase_layers import choices_of
from doorround.understanding.word_data import said_by_more
from doorround.understanding.words_of_text import tokens_of

_OPPOSITES = {"yes": "no", "no": "yes"}
_UNTOUCHED = ("none", "unknown", "cannot", "no")
"""Values that a preceding negation does not change: "no, there's none"."""

_HELD = ("stayed", "it stayed", "stuck", "hung", "held", "still open")
"""Words of a "no" that a negation before them does deny."""


@dataclass(frozen=True)
class ChosenValues:
    """values: possible values, longest phrase first. sure: every word is known, there is one value,
    and nothing casts doubt on it; likely: the same, apart from unknown words."""

    values: tuple[str, ...]
    sure: bool
    likely: bool = False


def choose(says: str, text: str) -> ChosenValues:
    """The values that a text names at a question with this rule."""
    items = choices_of(says).items(tokens_of(text))
    named = [item for item in items if item.sense.role is Role.CHOICE]
    values = [(_meant(says, items, item), item.end - item.start) for item in named]
    values.sort(key=lambda each: -each[1])
    found = _most_said(tuple(dict.fromkeys(value for value, _ in values if value)))
    roles = {item.sense.role for item in items}
    doubtful = roles & {
        Role.DOUBT,
        Role.HEDGE,
        Role.PAST,
        Role.EXCEPTION,
        Role.UNKNOWN,
        Role.MENDED,
        Role.CONTRAST,
    }
    if not named and Role.NEGATION in roles and not doubtful:
        found = ("none",) if _has(says, "none") else ("no",) if _has(says, "no") else ()
    one = len(found) == 1
    likely = one and not doubtful - {Role.UNKNOWN} and Role.NEGATION not in roles
    return ChosenValues(found, one and not doubtful, likely)


def _most_said(values: tuple[str, ...]) -> tuple[str, ...]:
    """The values without those that another one implies: a brush strip is also a strip."""
    said_too = {each for value in values for each in said_by_more(value)}
    return tuple(value for value in values if value not in said_too)


def _has(says: str, value: str) -> bool:
    return value in choices_of(says).keys(Role.CHOICE)


def _meant(says: str, items: tuple[Item, ...], item: Item) -> str | None:
    """The value of a phrase, or of its negation; None if a negation leaves it open."""
    value = item.sense.key
    before = [each for each in items[: items.index(item)] if each.sense.role is not Role.FILLER]
    if not before or before[-1].sense.role is not Role.NEGATION:
        return value
    if value == "no" and item.words.startswith(_HELD):
        return None  # "never stayed open": seen to let go, or not seen at all
    if value in _UNTOUCHED:
        return value
    return _OPPOSITES.get(value) or ("none" if _has(says, "none") else None)
