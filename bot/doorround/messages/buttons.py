"""Buttons that do not answer a question. A tap counts as saying the phrase, so each is in the
grammar; buttons that answer a question come from the checklist.
"""

from __future__ import annotations

YES_NO = ("yes", "no")
ALL_SOUND = "all sound"
FINISH = "finish check"
CARRY_ON = "carry on"
GO_BACK = "go back"
OWN_WORDS = "a fault, in my words"
PAUSE = "pause check"
ANOTHER_DOOR = "another door"
CANCEL = "cancel"
LETTING_GO = "letting go"
SHUT = "shut"
NEXT_DOOR = "next door"
NEITHER = "neither"
LEAVE = "yes, I leave"
I_AGREE = "I agree"

WHAT_IS_DUE = "what is due"
WHO_IS_LATE = "who is late"
WHAT_IS_WRONG = "what is wrong"
CLOCK_IS_RIGHT = "the clock is right"
SNOOZE = "snooze"
MORE = "show more"


def defect(id: int) -> str:
    """One defect, with its history."""
    return f"defect {id}"


def show_door(number: str) -> str:
    """A door's last checks and defects."""
    return f"show door {number}"


def answers_of(number: str) -> str:
    """Every answer of a door's last check."""
    return f"answers of door {number}"


def change(part: str) -> str:
    """Reopens a part's questions. part: its name in the checklist."""
    return f"change {part}".lower()


def made_good_at_once(mended: str) -> str:
    """Reports a fault as put right on the spot. mended: the checklist's words for that."""
    return f"no, {mended}"


def door(number: str, apart: str = "") -> str:
    """A door to choose. apart: distinguishes it from another with the same number."""
    return f"door {number} {apart}".strip()


def remove_person(name: str) -> str:
    """Removes somebody's access."""
    return f"remove {name}"


def show_person(name: str) -> str:
    """Somebody's list of work."""
    return f"show person {name}"


def give(id: int, name: str) -> str:
    """Assigns a defect to somebody. name: or their number, "#3"."""
    return f"give defect {id} to {name}"


def give_whom(id: int) -> str:
    """Asks who to assign a defect to."""
    return f"give defect {id}"


def made_good(id: int) -> str:
    """Reports a defect as made good; what was done follows after a colon."""
    return f"defect {id} made good"


def no_photo(made_good: str, why: str) -> str:
    """The same with the reason for having no photo. made_good: with what was done."""
    return f"{made_good}; no photo: {why}"


def looked_at(id: int) -> str:
    """Reports that a repair was looked at."""
    return f"defect {id} looked at"


def look_at(id: int) -> str:
    """Begins a short visit to look at the repair of a defect."""
    return f"look at defect {id}"


def look_at_door(number: str) -> str:
    """The same, by door number."""
    return f"look at door {number}"


def reopen(id: int) -> str:
    """Reopens a defect; the reason follows after a colon."""
    return f"reopen defect {id}"


def name_defect(id: int) -> str:
    """Asks which fault was reported in somebody's own words."""
    return f"name defect {id}"


def defect_is(id: int, value: str) -> str:
    """Names such a fault, in the checklist's words."""
    return f"defect {id} is {value}"


def rename_defect(id: int, value: str = "") -> str:
    """Names it anew, or asks which fault it is instead."""
    return f"rename defect {id}: {value}" if value else f"rename defect {id}"


def no_fault(id: int) -> str:
    """Dismisses it; the reason follows after a colon."""
    return f"defect {id} is no fault"


def keep_words(id: int) -> str:
    """Makes the caretaker's words understood from then on."""
    return f"keep the words of defect {id}"
