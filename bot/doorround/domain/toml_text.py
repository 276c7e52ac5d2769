"""TOML as its readers want it: a table, or one error that says of which file."""

from __future__ import annotations

import tomllib
from typing import Any

DEEPEST = 20
"""Tables and lists within each other; no file of this program has more than four."""


def read_toml(text: str, name: str) -> dict[str, Any]:
    """The table of a text. name: of the file.

    Raises ValueError that names it, however the text is spoiled.
    """
    try:
        table = tomllib.loads(text)
    except RecursionError:
        raise ValueError(_too_deep(name)) from None
    except ValueError as error:
        # tomllib lets a number of too many digits through as a bare ValueError
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
