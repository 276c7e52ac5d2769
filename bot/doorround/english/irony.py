"""Words that may say the opposite of what they are: "there, yeah right"."""

from __future__ import annotations

import re

_MAY_BE_MEANT_OTHERWISE = re.compile(
    r"\b(?:yeah|yea|aye|oh|too) right\W*$|\bmy (?:arse|foot|eye)\W*$", re.I
)


def may_be_ironic(text: str) -> bool:
    """Whether a text ends in words with which people say that they do not believe it."""
    return bool(_MAY_BE_MEANT_OTHERWISE.search(text))
