"""Leaves of a pair named by a number after the noun: "leaf two", "leaf 1"."""

from __future__ import annotations

import re

_ORDINALS = {"one": "first", "1": "first", "two": "second", "2": "second"}
_COUNTED = (
    "splits|cracks|holes|dents|chips|dings|gouges|scrapes|scratches|knocks|gaps|tears|marks|nicks"
    "|screws|hinges|bolts|seals|panels|panes|places|inch|inches|inch's|mm|cm|fingers"
)
"""Words that the number before them counts: "leaf two splits"."""
_NUMBERED = re.compile(
    r"\b(?:(?:door )?leaf(?: (?:number|no\.?))? (one|two|1|2))\b"
    rf"(?!\s+(?:\w+ )?(?:{_COUNTED})\b)(?![.,]?\d)",
    re.IGNORECASE,
)


def with_named_leaf(text: str) -> str:
    """Replace "leaf one" with "first leaf", "leaf two" with "second leaf"."""
    return _NUMBERED.sub(lambda found: f"{_ORDINALS[found[1].casefold()]} leaf", text)
