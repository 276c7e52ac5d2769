"""The costs in force, read from their file."""

from __future__ import annotations

import tomllib
from functools import lru_cache
from pathlib import Path
from typing import Any

from doorround.domain.costs import Costs

FILE = Path(__file__).with_name("costs.toml")


@lru_cache(maxsize=4)
def read_costs(path: Path = FILE) -> Costs:
    """Read the costs from a TOML file. Raises OSError, or ValueError that says what is wrong."""
    table: dict[str, Any] = tomllib.loads(path.read_text(encoding="utf-8"))
    return Costs.model_validate(table)
