"""How many of many are tried: a part in `make test`, every one in `make test-whole`."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TypeVar

WHOLE = bool(os.environ.get("TEST_WHOLE"))

Some = TypeVar("Some")
Number = TypeVar("Number", int, float)


def some_of(many: Sequence[Some], each: int, nth: int = 0) -> Sequence[Some]:
    """One in so many, by their order, or all of them. nth: which of each so many, by turns."""
    return many if WHOLE else many[nth % each :: each]


def with_each_engine(many: Sequence[Some], each: int) -> list[tuple[str, Some]]:
    """Every one with the usual engines, one in so many with PocketSphinx alone: (engine, one)."""
    alone = [("pocketsphinx", one) for one in some_of(many, each)]
    return [*(("auto", one) for one in many), *alone]


def so_many(part: Number, whole: Number) -> Number:
    """How many are tried, one in how many, a bound on them: in make test, make test-whole."""
    return whole if WHOLE else part
