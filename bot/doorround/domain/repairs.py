"""What may be said of a defect, and by whom: a repair names what was done and shows it; somebody
else looks. Pure.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

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


def doer(name: str, known: Iterable[str]) -> str:
    """The name of who does something, as the logbook has it: somebody known, or somebody from
    outside, "firm: name".

    Raises ValueError that says who is known.
    """
    names = list(known)
    for each in names:
        if each.casefold() == name.strip().casefold():
            return each
    outsider = _OUTSIDER.fullmatch(name)
    if outsider:
        return f"{outsider[1]}: {outsider[2]}"
    who = f"Known are {', '.join(names)}." if names else "Nobody is known yet."
    raise ValueError(
        (f"Nobody called {name} is known. " if name else "Say who does it: --person NAME. ")
        + f'{who} Somebody from outside is named by firm and name: "Hale Joinery: Jo".'
    )


def tells_what(text: str) -> bool:
    """Whether words tell what was done: "done" and "it is fixed" do not."""
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
) -> str | None:
    """Why this cannot be entered of a defect, in words that say what to do; None where it can.

    by: a target date, why: its reason; today: local.
    """
    match kind:
        case DeedKind.REOPENED:
            return _not_reopened(defect, text)
        case DeedKind.LOOKED_AT:
            return _not_looked(defect, person, text)
        case _ if defect.state is State.CLOSED:
            return (
                f"Defect {defect.id} is closed already, by {defect.ended_by}. "
                f'To take that back: doorround defects reopen {defect.id} --why "…", or “reopen'
                f" defect {defect.id}”."
            )
        case DeedKind.MADE_GOOD:
            return _not_made_good(defect, text, evidence, no_photo)
        case DeedKind.ASSIGNED if by is not None and today is not None:
            return _no_date(defect, by, why, today)
    return None


def _not_reopened(defect: Defect, text: str) -> str | None:
    if defect.state is State.OPEN:
        return f"Defect {defect.id} is open already."
    return None if text.strip() else f"Say why defect {defect.id} is opened again."


def _no_date(defect: Defect, by: date, why: str, today: date) -> str | None:
    if by < today:
        return f"{by.isoformat()} is past. Give a day from {today.isoformat()} on."
    allowed = defect.by_rule
    if allowed is not None and by > max(allowed, today) and len(why.strip()) < 3:
        return (
            f"Defect {defect.id} is to be made good by {allowed.isoformat()}: it is"
            f" “{defect.severity}”. For {by.isoformat()}, say why: --why."
        )
    return None


def _not_looked(defect: Defect, person: str, text: str) -> str | None:
    if defect.state is State.OPEN:
        return f"Defect {defect.id} is open: nobody has said that it is made good."
    if defect.state is State.CLOSED:
        return f"Defect {defect.id} is closed already, by {defect.ended_by}."
    if _OUTSIDER.fullmatch(person) and not tells_what(text):
        return f"{person} is not known here: say what was seen of defect {defect.id}, with --how."
    return None


def _not_made_good(defect: Defect, text: str, evidence: str | None, no_photo: str) -> str | None:
    if defect.state is State.MADE_GOOD:
        return f"Defect {defect.id} is made good already, by {defect.ended_by}."
    if not tells_what(text):
        return "Say what was done, such as: two screws replaced."
    if not evidence and len(no_photo.strip()) < 3:
        return "Give a photo of it, or say why there is none."
    return None
