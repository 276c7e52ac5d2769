"""Sampling of large test sets: a part in `make test`, everything in `make test-whole`."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TypeVar

WHOLE = bool(os.environ.get("TEST_WHOLE"))

Some = TypeVar("Some")
Number = TypeVar("Number", int, float)


def some_of(many: Sequence[Some], each: int, nth: int = 0) -> Sequence[Some]:
    """One item in `each`, in order, or all of them. nth: offset within each group."""
    return many if WHOLE else many[nth % each :: each]


def with_each_engine(many: Sequence[Some], each: int) -> list[tuple[str, Some]]:
    """All items with the default engines, one in `each` with PocketSphinx alone: (engine, item)."""
    alone = [("pocketsphinx", one) for one in some_of(many, each)]
    return [*(("auto", one) for one in many), *alone]


def so_many(part: Number, whole: Number) -> Number:
    """A number of trials, a sampling rate or a bound: for make test, for make test-whole."""
    return whole if WHOLE else part
