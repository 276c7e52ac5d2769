"""The questions of a pair: each leaf has its own; the meeting edges and the closing order belong to
the pair.
"""

from __future__ import annotations

_SECOND = "_second"


def of_second_leaf(key: str) -> bool:
    """Whether a question is of the leaf of a pair that opens second."""
    return key.endswith(_SECOND)


def first_leaf_key(key: str) -> str:
    """The same question of the leaf that opens first: "hinges.count_second" → "hinges.count"."""
    return key.removesuffix(_SECOND)


EACH_LEAF = (
    *("leaf.here", "leaf.beyond", "gaps.sides", "latch", "seals", "hinges.count"),
    *("hinges.fixings", "closer.full", "closer.ajar"),
)
"""Questions that a pair hears once for each leaf, as its first leaf hears them."""


def of_other_leaf(key: str) -> str:
    """The same question of the other leaf; "" where it is not of one leaf."""
    if of_second_leaf(key):
        return first_leaf_key(key)
    return f"{key}{_SECOND}" if key in EACH_LEAF else ""
