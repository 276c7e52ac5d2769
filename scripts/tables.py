"""Every number of a table, made one larger: limits, sizes, grades, seconds.

Only what stands outside functions.
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
    """One number of a table changed. module: dotted; source: of the module with the change; line,
    column: 1 and 0 for the first; old, new: that line before and after.
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
    """Changes of all modules of a folder, by name and place."""
    for path in sorted(folder.glob("*.py")):
        text = path.read_text(encoding="utf-8")
        for number in _numbers(ast.parse(text)):
            yield _changed(text, number, f"{package}.{path.stem}")


def _numbers(module: ast.Module) -> list[ast.Constant]:
    """The numbers outside functions and classes' methods, in the order they stand."""
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
    """The number one larger, as it is written; None for what is no number."""
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
