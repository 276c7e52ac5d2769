"""Words that may not say what they are: "there, yeah right", "closes fully?"."""

from __future__ import annotations

import re

_MAY_BE_MEANT_OTHERWISE = re.compile(
    r"\b(?:yeah|yea|aye|oh|too) right\W*$|\bmy (?:arse|foot|eye)\W*$", re.I
)


def may_be_ironic(text: str) -> bool:
    """Whether a text ends in words with which people say that they do not believe it."""
    return bool(_MAY_BE_MEANT_OTHERWISE.search(text))


def ends_as_question(text: str) -> bool:
    """Whether a text asks, and does not say that it is so."""
    return text.rstrip(" .!\"'\u201d\u2019)").endswith("?")
