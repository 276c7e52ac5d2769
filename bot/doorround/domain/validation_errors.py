"""Turns pydantic's validation errors into text saying what may be written."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

MAX_QUOTED = 40


def plain_error(error: ValidationError, fields: Iterable[str] = ()) -> str:
    """The first error, with its location: 'rating: "FD3O" is not a fire rating. Use FD30, …'.

    fields: valid names, listed for an unknown field.
    """
    place, why = placed_error(error, fields)
    return f"{place}: {why}" if place else why


def placed_error(error: ValidationError, fields: Iterable[str] = ()) -> tuple[str, str]:
    """The same as location and text."""
    first = error.errors()[0]
    return ".".join(map(str, first["loc"])), _message(first, fields)


def _message(first: Any, fields: Iterable[str]) -> str:
    given = _quoted(first.get("input"))
    limits = first.get("ctx", {})
    match first["type"]:
        case "extra_forbidden":
            known = ", ".join(fields)
            return "there is no such field." + (f" Use one of: {known}." if known else "")
        case "missing":
            return "this is missing."
        case "enum" | "literal_error":
            return f"{given} cannot be. Use one of: {_listed(limits['expected'])}."
        case "greater_than" | "greater_than_equal" | "less_than" | "less_than_equal":
            [bound] = limits.values()
            words = _range(fields, first["loc"]) or f"{_BOUNDS[first['type']]} {bound:g}"
            return f"{given} is out of range. Write a number {words}."
        case "string_too_long":
            return f"this is too long. Write at most {limits['max_length']} letters."
        case "string_too_short":
            return "this is empty. Write something."
        case kind if words := next((_OF[each] for each in _OF if kind.startswith(each)), ""):
            return f"{given} {words}"
    why = str(first["msg"]).removeprefix("Value error, ")
    return why.replace("Input should be", "This must be") + ("" if why.endswith(".") else ".")


_OF = {
    "int_": "is not a whole number.",
    "float_": "is not a number.",
    "decimal_": "is not a number.",
    "finite_": "is not a number.",
    "date_": "is not a date. Write one such as 2026-03-31.",
    "string_": "is not text.",
    "bool_": "cannot be. Write true or false.",
}
"""Prefixes of pydantic's error types → text about the value."""
_BOUNDS = {
    "greater_than": "above",
    "greater_than_equal": "from",
    "less_than": "below",
    "less_than_equal": "up to",
}
_LONG = {
    "ge": "greater_than_equal",
    "gt": "greater_than",
    "le": "less_than_equal",
    "lt": "less_than",
}


def _range(fields: Iterable[str], place: tuple[int | str, ...]) -> str:
    """Both bounds of a field: "from 1 to 14"; "" unless it has both."""
    field = fields.get(place[0]) if isinstance(fields, Mapping) and place else None
    ends: dict[str, float] = {}
    for each in getattr(field, "metadata", ()):
        ends |= {name: edge for name in _LONG if (edge := getattr(each, name, None)) is not None}
    if len(ends) != 2:
        return ""
    (least, low), (most, high) = sorted(ends.items())
    if (least, most) == ("ge", "le"):
        return f"from {low:g} to {high:g}"
    return f"{_BOUNDS[_LONG[least]]} {low:g} and {_BOUNDS[_LONG[most]]} {high:g}"


def _listed(expected: str) -> str:
    """Permitted values; separated by semicolons if any contains a comma."""
    values = re.findall(r"'([^']*)'", expected)
    return ("; " if any("," in each for each in values) else ", ").join(values)


def _quoted(given: Any) -> str:
    """The given value, in one short line."""
    try:
        text = f'"{given}"' if isinstance(given, str) else str(given)
    except (ValueError, RecursionError):
        return "This"
    return text if len(text) <= MAX_QUOTED else f"{text[:MAX_QUOTED]} …"
