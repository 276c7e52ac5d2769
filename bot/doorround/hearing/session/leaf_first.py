"""Normalises a leaf named before an answer, "first leaf closes fully", to the order that the
grammar accepts, "closes fully on the first leaf".
"""

from __future__ import annotations

import re

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.two_leaves import EACH_LEAF, first_leaf_key

_LEAF_FIRST = re.compile(
    r"\W*(?:the |on the )?(first|second) leaf(?: it)?(?:'s)?\W+(?:it )?(?:is )?(\S.*)",
    re.IGNORECASE | re.DOTALL,
)


def with_leaf_behind(text: str, expected: ExpectedInput) -> str | None:
    """The words with the leaf moved to the end; None if no leaf is named first, or the open
    question is not asked of each leaf.
    """
    if expected.open is None or first_leaf_key(expected.open.key) not in EACH_LEAF:
        return None
    found = _LEAF_FIRST.fullmatch(text)
    return f"{found[2].rstrip(' .!')} on the {found[1].lower()} leaf" if found else None
