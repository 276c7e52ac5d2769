"""Mutants of tables: every number (limit, size, grade, seconds) increased by one.

Only numbers outside functions.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

# numbers written as text, such as Fraction("22.5"), and the edges of a limit, most="3/16"
_NUMBER = re.compile(r"\d+(\.\d+)?(/\d+)?")


@dataclass(frozen=True)
class Change:
    """One mutated number in a table. module: dotted name; source: the module's text with the
    mutation; line, column: from 1 and from 0; old, new: that line before and after.
    """

    module: str
    line: int
    column: int
    old: str
    new: str
    source: str

    @property
    def name(self) -> str:
        return f"{self.module}:{self.line}:{self.column}"


def table_changes(folder: Path, package: str) -> Iterator[Change]:
    """The mutants of all modules in a folder, by name and place."""
    for path in sorted(folder.glob("*.py")):
        text = path.read_text(encoding="utf-8")
        for number in _numbers(ast.parse(text)):
            yield _changed(text, number, f"{package}.{path.stem}")


def _numbers(module: ast.Module) -> list[ast.Constant]:
    """The numbers outside functions and methods, in source order."""
    waiting: list[ast.AST] = [module]
    found = []
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if (
            isinstance(node, ast.Constant)
            and _larger(node.value) is not None
            and node.lineno == node.end_lineno
        ):
            found.append(node)
        waiting += ast.iter_child_nodes(node)
    return sorted(found, key=lambda each: (each.lineno, each.col_offset))


def _larger(value: object) -> str | None:
    """The number increased by one, in the same notation; None if it is not a number."""
    if isinstance(value, bool):
        return None
    if isinstance(value, int | float):
        return repr(value + 1)
    if isinstance(value, str) and _NUMBER.fullmatch(value):
        return repr(str(Fraction(value) + 1))
    return None


def _changed(text: str, number: ast.Constant, module: str) -> Change:
    lines = text.splitlines(keepends=True)
    old = lines[number.lineno - 1]
    # columns count bytes
    raw = old.encode()
    put = (_larger(number.value) or "").encode()
    new = (raw[: number.col_offset] + put + raw[number.end_col_offset :]).decode()
    lines[number.lineno - 1] = new
    return Change(
        module, number.lineno, number.col_offset, old.strip(), new.strip(), "".join(lines)
    )
