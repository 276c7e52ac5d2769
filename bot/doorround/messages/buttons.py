"""What stands on buttons that are no answer to a question. A tap counts as the phrase said, so each
is one of the grammar's; buttons that answer a question are the checklist's.
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
    """One defect, with what became of it."""
    return f"defect {id}"


def show_door(number: str) -> str:
    """A door's last checks and defects."""
    return f"show door {number}"


def answers_of(number: str) -> str:
    """Every answer of a door's last check."""
    return f"answers of door {number}"


def change(part: str) -> str:
    """Brings a part's questions back. part: its name in the checklist."""
    return f"change {part}".lower()


def made_good_at_once(mended: str) -> str:
    """Says that a fault was put right on the spot. mended: the checklist's words for that."""
    return f"no, {mended}"


def door(number: str, apart: str = "") -> str:
    """A door to choose. apart: what tells it from another of the same number."""
    return f"door {number} {apart}".strip()


def remove_person(name: str) -> str:
    """Ends somebody's access."""
    return f"remove {name}"


def show_person(name: str) -> str:
    """What somebody has to do."""
    return f"show person {name}"


def give(id: int, name: str) -> str:
    """Gives a defect to somebody. name: or their number, "#3"."""
    return f"give defect {id} to {name}"


def give_whom(id: int) -> str:
    """Asks to whom a defect is given."""
    return f"give defect {id}"


def made_good(id: int) -> str:
    """Says that a defect is made good; what was done follows behind a colon."""
    return f"defect {id} made good"


def no_photo(made_good: str, why: str) -> str:
    """The same with why no photo shows it. made_good: with what was done."""
    return f"{made_good}; no photo: {why}"


def looked_at(id: int) -> str:
    """Says that a repair was looked at."""
    return f"defect {id} looked at"


def look_at(id: int) -> str:
    """Begins a short visit to what was repaired at its door."""
    return f"look at defect {id}"


def look_at_door(number: str) -> str:
    """The same, by the number of the door."""
    return f"look at door {number}"


def reopen(id: int) -> str:
    """Opens a defect again; why follows behind a colon."""
    return f"reopen defect {id}"


def name_defect(id: int) -> str:
    """Asks which fault it is that was told in somebody's own words."""
    return f"name defect {id}"


def defect_is(id: int, value: str) -> str:
    """Names such a fault, in the checklist's words."""
    return f"defect {id} is {value}"


def no_fault(id: int) -> str:
    """Says that it is none; why follows behind a colon."""
    return f"defect {id} is no fault"


def keep_words(id: int) -> str:
    """Has the caretaker's words understood from then on."""
    return f"keep the words of defect {id}"
