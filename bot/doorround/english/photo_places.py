"""Captions that only say where or how a picture was taken: "by the post room", "left edge"."""

from __future__ import annotations

import re

_FROM = (
    r"(?:by|near|next to|outside|beside|opposite|facing|from|at|in|on|behind|above|below|under"
    r"|inside|along|view|close[ -]?up|taken|photo|picture|pic|before|after|looking)"
)
_ONLY_WHERE = re.compile(rf"\W*{_FROM}\b(?: [\w-]+){{0,6}}\W*", re.IGNORECASE)
_TELLS = re.compile(
    r"\b(?:is|are|was|were|has|have|been|not|no|missing|gone|broken|damaged|loose|split|cracked"
    r"|wedged?|propped|stored|stuck|hole|gap)\b|n['’]t\b|\w['’](?:s|re)\b",
    re.IGNORECASE,
)


def tells_only_where(text: str) -> bool:
    """Whether the whole caption is about a place or the picture itself, and tells nothing."""
    return _ONLY_WHERE.fullmatch(text) is not None and not _TELLS.search(text)
