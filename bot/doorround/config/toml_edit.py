"""Edits values in a hand-written TOML file, preserving comments, order and other settings."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from doorround.domain.toml_text import read_toml

Value = str | int | bool | tuple[str, ...]
_HEADER = re.compile(r"\s*\[+\s*([^\[\]]+?)\s*\]+\s*(#.*)?")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")


def with_values(text: str, values: Mapping[tuple[str, ...], Value | None], name: str) -> str:
    """A TOML text with values set, or removed if None.

    values: by table and key, such as ("telegram", "token"), or by a top-level key alone. name: of
    the file, for errors. Raises ValueError if the text is not valid TOML, or is written in a way
    that cannot be edited in place.
    """
    before = read_toml(text, name)
    for path, value in values.items():
        text = _with_value(text, path, value)
    if read_toml(text, name) != _merged(before, values):
        raise ValueError(
            f"{name} is formatted in a way that cannot be edited automatically. Edit it by hand."
        )
    return text


def _with_value(text: str, path: tuple[str, ...], value: Value | None) -> str:
    *tables, key = path
    lines = text.splitlines()
    start, end = _section(lines, tables[0] if tables else "")
    line = None if value is None else f"{_key(key)} = {_written(value)}"
    place = next((at for at in range(start, end) if _is_of(lines[at], key)), None)
    if place is not None:
        lines[place : place + 1] = [] if line is None else [line + _comment(lines[place])]
    elif line is not None and tables and start > len(lines):
        lines += ["", f"[{tables[0]}]", line] if lines else [f"[{tables[0]}]", line]
    elif line is not None:
        while end > start and not lines[end - 1].strip():
            end -= 1
        lines.insert(end, line)
    return "\n".join(lines) + "\n" if lines else ""


def _section(lines: list[str], table: str) -> tuple[int, int]:
    """First line of a table's settings and the line after its last; past the end if there is no
    such table.
    """
    headers = [
        (at, found[1]) for at, line in enumerate(lines) if (found := _HEADER.fullmatch(line))
    ]
    ends = [at for at, _ in headers] + [len(lines)]
    if not table:
        return 0, ends[0]
    for place, (at, name) in enumerate(headers):
        if name.strip("\"' ") == table:
            return at + 1, ends[place + 1]
    return len(lines) + 1, len(lines) + 1


def _is_of(line: str, key: str) -> bool:
    name, equals, _ = line.partition("=")
    return bool(equals) and name.strip().strip("\"'") == key


def _comment(line: str) -> str:
    """The comment after a value on the same line, if it can be identified for certain."""
    found = re.fullmatch(r"""[^"'#\[]*("[^"\\]*"|'[^']*'|[^"'#\[]*)\s*(#.*)""", line)
    return f"  {found[2]}" if found else ""


def _key(key: str) -> str:
    return key if _BARE_KEY.fullmatch(key) else json.dumps(key, ensure_ascii=False)


def _written(value: Value) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, tuple):
        return f"[{', '.join(_written(each) for each in value)}]"
    return json.dumps(value, ensure_ascii=False)


def _merged(
    before: Mapping[str, Any], values: Mapping[tuple[str, ...], Value | None]
) -> dict[str, Any]:
    after = {
        key: dict(value) if isinstance(value, Mapping) else value for key, value in before.items()
    }
    for (*tables, key), value in values.items():
        table = after
        for name in tables:
            table = after.get(name, {}) if value is None else after.setdefault(name, {})
        if value is None:
            table.pop(key, None)
        else:
            table[key] = list(value) if isinstance(value, tuple) else value
    return after
