"""Questions about a pair: each leaf has its own; the meeting edges and the closing order belong to
the pair.
"""

from __future__ import annotations

_SECOND = "_second"


def of_second_leaf(key: str) -> bool:
    """Whether a question is about the leaf of a pair that opens second."""
    return key.endswith(_SECOND)


def first_leaf_key(key: str) -> str:
    """The same question for the leaf that opens first: "hinges.count_second" → "hinges.count"."""
    return key.removesuffix(_SECOND)


EACH_LEAF = (
    *("leaf.here", "leaf.beyond", "gaps.sides", "latch", "seals", "hinges.count"),
    *("hinges.fixings", "closer.full", "closer.ajar"),
)
"""Questions asked once per leaf of a pair, in their form for the first leaf."""


def of_other_leaf(key: str) -> str:
    """The same question for the other leaf; "" if it is not about one leaf."""
    if of_second_leaf(key):
        return first_leaf_key(key)
    return f"{key}{_SECOND}" if key in EACH_LEAF else ""
