"""Yes and no in cells: Y, x, ✓, fitted, none. Common practice, no source."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from importlib import resources


def _words() -> dict[str, frozenset[str]]:
    text = (
        resources.files("doorround.door_schedules").joinpath("cell_words.toml").read_text("utf-8")
    )
    return {name: frozenset(words) for name, words in tomllib.loads(text).items()}


WORDS = _words()
YES = WORDS["yes"]
NO = WORDS["no"]
UNKNOWN = WORDS["unknown"]
TICKS = {"✓", "✔", "☑", "√", "y", "yes"}
# In Wingdings, ticks and crosses are at these letters
WINGDINGS = {"ü": True, "þ": True, "û": False, "ý": False}


def plain_word(text: str) -> str:
    """Lookup key of a cell: lower case, single spaces, no final full stop."""
    return " ".join(text.casefold().split()).rstrip(".")


def x_means(texts: Iterable[str]) -> bool | None:
    """What an "x" means in a column: yes if it is the only mark, no beside ticks; None if the
    column also has "no" or "none", which makes it ambiguous.
    """
    words = {plain_word(text) for text in texts}
    if words & TICKS or words & set(WINGDINGS):
        return False
    return None if words & NO else True


def yes_or_no(text: str, x: bool | None = True) -> bool | None:
    """Yes, no, or None if the cell says neither. x: what an "x" means here. Raises ValueError for
    other words.
    """
    word = plain_word(text)
    if word in UNKNOWN:
        return None
    if word == "x":
        if x is None:
            raise ValueError("may be yes or no: write y or n")
        return x
    if word in WINGDINGS:
        return WINGDINGS[word]
    if word in YES:
        return True
    if word in NO:
        return False
    raise ValueError("is neither yes nor no")
