"""What `make mutants` changes in tables: each number one larger, one at a time, and nothing inside
a function.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from scripts.tables import table_changes

MODULE = '''"""One table."""

LEAST = 3
SIZES = {1: (750, 20.5)}  # µm or mm
EDGES = limit("3/16 in", most="3/16", names=("2", True, "two"))


def not_a_table(amount=1):
    return 2


class Targets:
    soon: int = 7

    def days(self):
        return 9
'''


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "sizes.py").write_text(MODULE, encoding="utf-8")
    return tmp_path


def test_every_number_of_a_table_is_made_one_larger_and_no_other(folder: Path) -> None:
    assert [(each.module, each.line, each.new) for each in table_changes(folder, "rules")] == [
        ("rules.sizes", 3, "LEAST = 4"),
        ("rules.sizes", 4, "SIZES = {2: (750, 20.5)}  # µm or mm"),
        ("rules.sizes", 4, "SIZES = {1: (751, 20.5)}  # µm or mm"),
        ("rules.sizes", 4, "SIZES = {1: (750, 21.5)}  # µm or mm"),
        ("rules.sizes", 5, """EDGES = limit("3/16 in", most='19/16', names=("2", True, "two"))"""),
        ("rules.sizes", 5, """EDGES = limit("3/16 in", most="3/16", names=('3', True, "two"))"""),
        ("rules.sizes", 13, "soon: int = 8"),
    ]


def test_the_rest_of_the_module_stays_as_it_was(folder: Path) -> None:
    first = next(iter(table_changes(folder, "rules")))
    assert first.source == MODULE.replace("LEAST = 3", "LEAST = 4")
    assert first.old == "LEAST = 3"
