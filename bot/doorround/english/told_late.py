"""Words that begin something remembered too late: "forgot to say, …", "oh, and by the way, …"."""

from __future__ import annotations

import re

_OPENS = r"(?:oh|ah|er|um|erm|sorry|wait|hang on|hold on|actually|and|also|but|well|no)"
_FORGOT = (
    r"(?:(?:i )?(?:just |nearly |totally |completely |clean |almost )?(?:forgot|forget)"
    r"(?: to (?:say|mention|tell you|add|report|note))?"
    r"|(?:i )?(?:should(?: have|'ve)?|meant to|ought to have) (?:have )?(?:said|say|mention(?:ed)?)"
    r"|(?:i )?(?:missed|remembered)|by the way|btw|ps|one more thing|one other thing|one thing more"
    r"|another thing|something else)"
)
_LEAD = re.compile(
    rf"^\s*(?:{_OPENS}[\s,.…-]+)*{_FORGOT}(?: (?:that|about))?(?:[\s,:;.…-]+|$)", re.IGNORECASE
)


def told_late(text: str) -> str | None:
    """The words after such a beginning; None if there is none."""
    found = _LEAD.match(text)
    return text[found.end() :].strip() if found else None
