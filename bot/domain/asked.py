"""What is asked in a chat by typing: "what is due", "who is late", "show door 14", "what is wrong on floor two". Pure.

Only typed words and buttons: for the voice they would have to be allowed where a caretaker answers a question.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from bot.domain.schedule.walk import storey


class Ask(StrEnum):
    DUE = "what is due"
    LATE = "who is late"
    DOOR = "show door"
    WRONG = "what is wrong"
    DEFECT = "defect"
    SNOOZE = "snooze"
    OFF = "off until"


READS = (Ask.DUE, Ask.LATE, Ask.DOOR, Ask.WRONG, Ask.DEFECT)


@dataclass(frozen=True)
class Asked:
    """what; number: of a door or a defect, or days of a snooze. floor: words of a floor; "" for every one."""

    what: Ask
    number: str = ""
    floor: str = ""
    until: date | None = None


_FLOOR = r"(?:on |in )?(?:the )?(?P<floor>(?:floor|level) [\w-]+|[\w-]+ floor|basement|[\w ]*ground floor)"
_PATTERNS: tuple[tuple[Ask, str], ...] = (
    (Ask.DUE, r"(?:what is|what's|whats|which doors are) due(?: today| now| this week)?|due list"),
    (Ask.LATE, r"(?:who is|who's|whos) late|what is late|what is overdue"),
    (Ask.DOOR, r"(?:show|how is)(?: me)? door (?P<number>[\w./-]{1,20})"),
    (Ask.WRONG, rf"(?:(?:what is|what's|whats) wrong|(?:open )?defects)(?: {_FLOOR})?"),
    (Ask.DEFECT, r"(?:show )?defect (?P<number>\d{1,9})"),
    (Ask.SNOOZE, r"snooze(?: (?:for )?(?P<number>[1-9]) days?)?"),
    (Ask.OFF, r"(?:i am |i'm )?(?:off|away) until (?P<until>\d{4}-\d{2}-\d{2})"),
)


def read_asked(text: str) -> Asked | None:
    """What a message asks; None for one that asks nothing of this kind. Every word of it must fit."""
    words = " ".join(text.lower().strip(" ?!.").split())
    for what, pattern in _PATTERNS:
        found = re.fullmatch(pattern, words)
        if found:
            parts = {name: value for name, value in found.groupdict().items() if value}
            try:
                until = date.fromisoformat(parts["until"]) if "until" in parts else None
            except ValueError:
                return None
            return Asked(what, parts.get("number", ""), parts.get("floor", ""), until)
    return None


def on_floor(asked: Asked, floor: str) -> bool:
    """Whether a door's floor is the one asked for."""
    if not asked.floor:
        return True
    return storey(floor) == storey(asked.floor) and (bool(floor) or storey(asked.floor) != 0)
