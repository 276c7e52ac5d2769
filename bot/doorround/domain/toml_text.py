"""Parses TOML into a table, or raises one error naming the file."""

from __future__ import annotations

import tomllib
from typing import Any

DEEPEST = 20
"""Maximum nesting depth; no file of this program has more than four levels."""


def read_toml(text: str, name: str) -> dict[str, Any]:
    """Parse a text into a table. name: of the file.

    Raises ValueError naming it, however malformed the text is.
    """
    try:
        table = tomllib.loads(text)
    except RecursionError:
        raise ValueError(_too_deep(name)) from None
    except ValueError as error:
        # for a number with too many digits, tomllib raises a bare ValueError
        raise ValueError(f"{name} is not TOML: {error}") from error
    level: list[Any] = [table]
    for _ in range(DEEPEST):
        level = [each for part in level for each in _inside(part)]
    if level:
        raise ValueError(_too_deep(name))
    return table


def _inside(part: Any) -> list[Any]:
    values = part.values() if isinstance(part, dict) else part
    return [each for each in values if isinstance(each, dict | list)]


def _too_deep(name: str) -> str:
    return f"{name}: tables or lists lie too deep within each other, more than {DEEPEST}."
