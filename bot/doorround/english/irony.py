"""Words that may not mean what they say: "there, yeah right", "closes fully?"."""

from __future__ import annotations

import re

_MAY_BE_MEANT_OTHERWISE = re.compile(
    r"\b(?:yeah|yea|aye|oh|too) right\W*$|\bmy (?:arse|foot|eye)\W*$", re.I
)


def may_be_ironic(text: str) -> bool:
    """Whether a text ends with a phrase expressing disbelief."""
    return bool(_MAY_BE_MEANT_OTHERWISE.search(text))


def trails_off(text: str) -> bool:
    """Whether a text ends in dots, as if something were left unsaid: "fine...", "shuts ok …"."""
    return text.rstrip().endswith(("...", "..", "\u2026"))


def ends_as_question(text: str) -> bool:
    """Whether a text asks rather than states."""
    return text.rstrip(" .!\"'\u201d\u2019)").endswith("?")
