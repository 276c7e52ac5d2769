"""What may be reported about a defect, and by whom: whoever repairs it says and shows what was
done; somebody else looks. Pure.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from datetime import date
from enum import StrEnum

from doorround.domain.defects import DeedKind, Defect, State

_OUTSIDER = re.compile(r"\s*([^:]{2,60}?)\s*:\s*([^:]{2,60}?)\s*")
_SAYS_NOTHING = frozenset(
    (
        "done",
        "okay",
        "fixed",
        "yes",
        "good",
        "closed",
        "close",
        "finished",
        "repaired",
        "sorted",
        "mended",
        "it's",
        "was",
        "now",
        "all",
        "made",
        "has",
        "been",
        "the",
        "door",
        "defect",
        "again",
        "work",
    )
)


_NOBODY = frozenset(("no", "ok", "is", "it", "none", "nobody", "unknown", "http", "https", "na"))
"""Further words that are not names."""


class Refusal(StrEnum):
    """Why an action on a defect cannot be entered."""

    OPEN_ALREADY = "open already"
    NO_REASON = "no reason for opening it again"
    DATE_PAST = "date past"
    LATER_THAN_RULE = "later than the rule without a reason"
    NOT_MADE_GOOD = "nobody has said that it is made good"
    CLOSED = "closed"
    CLOSED_ALREADY = "closed already"
    NOTHING_SEEN = "somebody from outside does not say what was seen"
    MADE_GOOD_ALREADY = "made good already"
    NOT_SAID_WHAT = "not said what was done"
    NO_PHOTO = "no photo, and no reason for none"


def doer(name: str, known: Iterable[str]) -> str | None:
    """The name of the person acting, as entered: somebody known, or an outsider, "firm: name". None
    for anybody else.
    """
    names = {same_letters(each): each for each in known}
    if same_letters(name) in names:
        return names[same_letters(name)]
    outsider = _OUTSIDER.fullmatch(name)
    if outsider is None or same_letters(outsider[1]) in names:
        return None  # "Kim: done" is a message from Kim, not a firm
    firm, who = (" ".join(part.split()) for part in outsider.groups())
    return f"{firm}: {who}" if _names_somebody(firm) and _names_somebody(who) else None


def same_letters(name: str) -> str:
    """Comparison key of a name: ignores case, width and spaces."""
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _names_somebody(text: str) -> bool:
    """Whether words can be the name of a firm or person: not "42", "//", "yes", "done now"."""
    words = re.findall(r"[^\W\d_]+", text.casefold())
    return any(len(word) > 1 for word in words) and not all(
        word in _SAYS_NOTHING or word in _NOBODY for word in words
    )


def tells_what(text: str) -> bool:
    """Whether words say what was done: "done" and "it is fixed" do not."""
    words = re.findall(r"[\w']+", text.casefold())
    return any(len(word) > 2 and word not in _SAYS_NOTHING for word in words)


def refusal(
    defect: Defect,
    kind: DeedKind,
    person: str,
    text: str = "",
    evidence: str | None = None,
    no_photo: str = "",
    by: date | None = None,
    why: str = "",
    today: date | None = None,
) -> Refusal | None:
    """Why this action on a defect cannot be entered; None if it can.

    person: who does it. text: what was done or seen, or why. by: a target date, why: its reason;
    today: local.
    """
    match kind:
        case DeedKind.REOPENED if defect.state is State.OPEN:
            return Refusal.OPEN_ALREADY
        case DeedKind.REOPENED:
            return None if text.strip() else Refusal.NO_REASON
        case DeedKind.LOOKED_AT:
            return _not_looked(defect, person, text)
        case _ if defect.state is State.CLOSED:
            return Refusal.CLOSED
        case DeedKind.MADE_GOOD:
            return _not_made_good(defect, text, evidence, no_photo)
        case DeedKind.ASSIGNED if by is not None and today is not None:
            return _no_date(defect, by, why, today)
    return None


def _no_date(defect: Defect, by: date, why: str, today: date) -> Refusal | None:
    if by < today:
        return Refusal.DATE_PAST
    allowed = defect.by_rule
    if allowed is not None and by > max(allowed, today) and len(why.strip()) < 3:
        return Refusal.LATER_THAN_RULE
    return None


def _not_looked(defect: Defect, person: str, text: str) -> Refusal | None:
    if defect.state is State.OPEN:
        return Refusal.NOT_MADE_GOOD
    if defect.state is State.CLOSED:
        return Refusal.CLOSED_ALREADY
    if _OUTSIDER.fullmatch(person) and not tells_what(text):
        return Refusal.NOTHING_SEEN
    return None


def _not_made_good(
    defect: Defect, text: str, evidence: str | None, no_photo: str
) -> Refusal | None:
    if defect.state is State.MADE_GOOD:
        return Refusal.MADE_GOOD_ALREADY
    if not tells_what(text):
        return Refusal.NOT_SAID_WHAT
    if not evidence and len(no_photo.strip()) < 3:
        return Refusal.NO_PHOTO
    return None
