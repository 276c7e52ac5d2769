"""A yes with more after it: "yes and it's split", "aye, but the hinge is loose"."""

from __future__ import annotations

import re

_YES = r"(?:yes|yeah|yep|yup|aye|ok|okay|right|correct|sure|that['’]s right|it is)"
_YES_AND = re.compile(
    rf"\W*{_YES}\b(?:[\s,]+(?:{_YES}|mate|all fine|fine))*[\s,.;–-]*"
    r"(?:(?:oh|and|but|though|although|only|except|plus|also|well)\b[\s,]*)*(?:that\s+)?(?P<more>\S.*)",
    re.IGNORECASE | re.DOTALL,
)


def after_yes(text: str) -> str:
    """What follows the yes at the beginning of a text; "" if it has none, or nothing follows."""
    found = _YES_AND.fullmatch(text)
    more = found["more"].strip() if found else ""
    return more if len(more.split()) > 1 or more.isalpha() else ""
