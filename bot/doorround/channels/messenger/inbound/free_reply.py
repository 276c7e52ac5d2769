"""A reply in free words to a question whose buttons all begin alike: "what was done?", "why is it
reopened?", "why no photo?", "which fault is it?", "how urgent?".
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from doorround.domain.query import read_query
from doorround.domain.repairs import tells_what
from doorround.messages import buttons

_LEAD = re.compile(
    r"(?:defect \d{1,9} made good|reopen defect \d{1,9}|defect \d{1,9} is no fault): "
    r"|defect \d{1,9} is (?:.+, (?=(?:act now|soon|planned|watch)$))?"
)
_ONLY_A_DOOR = re.compile(r"(?:the )?(?:door|number) \S{1,20}", re.IGNORECASE)


def completed(taps: Sequence[str], text: str) -> str | None:
    """What the buttons of the message above stand for, with these words in their place; None where
    the words are no reply to it: an order, a question, a door, or nothing that tells anything.
    """
    words = " ".join(text.split())
    if words.startswith("/") or read_query(words) or _ONLY_A_DOOR.fullmatch(words):
        return None
    lead = _lead(taps)
    return f"{lead}{words}" if lead and tells_what(words) else None


def _lead(taps: Sequence[str]) -> str:
    """The words with which all the buttons begin, where what follows is free; "" where none do."""
    found = _LEAD.match(taps[0]) if len(taps) > 1 else None
    if found is None or not all(each.startswith(found[0]) for each in taps):
        return ""
    without = buttons.no_photo(taps[0], "")
    if all(each.startswith(without) for each in taps[1:]):
        return without
    return found[0]
