"""What stands on buttons that are no answer to a question. A tap counts as the phrase said, so each
is one of the grammar's; buttons that answer a question are the checklist's.
"""

from __future__ import annotations

YES_NO = ("yes", "no")
FINISH = "finish check"
CARRY_ON = "carry on"
GO_BACK = "go back"
PAUSE = "pause check"
CANCEL = "cancel"
LETTING_GO = "letting go"
SHUT = "shut"
NEXT_DOOR = "next door"
NEITHER = "neither"

WHAT_IS_DUE = "what is due"
WHO_IS_LATE = "who is late"
CLOCK_IS_RIGHT = "the clock is right"
SNOOZE = "snooze"


def defect(id: int) -> str:
    """One defect, with what became of it."""
    return f"defect {id}"


def show_door(number: str) -> str:
    """A door's last checks and defects."""
    return f"show door {number}"


def change(part: str) -> str:
    """Brings a part's questions back. part: its name in the checklist."""
    return f"change {part}".lower()


def put_right(mended: str) -> str:
    """Says that a fault was put right on the spot. mended: the checklist's words for that."""
    return f"no, {mended}"


def door(number: str, apart: str = "") -> str:
    """A door to choose. apart: what tells it from another of the same number."""
    return f"door {number} {apart}".strip()
