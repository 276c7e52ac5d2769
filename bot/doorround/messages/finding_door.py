"""Finding the door: the talk before a check, until the door is known."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.domain.links import LinkProblem
from doorround.english.bare_answers import is_bare_no, is_bare_yes
from doorround.messages.doors import door_name
from doorround.messages.phrasing import counted, listed, quoted

WHICH = "Which door are you at? Say its number, or where it is."
HOW_TO_NAME = (
    "Say the number on the door, such as two fourteen, or where it is, such as plant room on two."
    " Or type it. A door that is not in the register yet: “new door”."
)
NO_DOORS = "There are no doors in the register yet. Type “new door” to add one."
NOT_ANSWERED_HERE = "I can't answer that here."
SAY_WHICH = "Say which one."
NO_YES_OR_NO = "I asked nothing that a yes or no answers."
NO_NEXT_DOOR = "There is no next door to check."
WHICH_OF_THEM = "Which one? Tap it."
NOTHING_PAUSED = "No check of yours is paused."
WHICH_PAUSED = "Which of them? Say its number."
STAYS_THERE = "It stays in the other window."
CLOSED_MEANWHILE = "That check has been closed meanwhile."
YES_OR_NO = "Yes or no, please."
TYPE_NUMBER = "Type the number on the door."


_NOWHERE = {
    LinkProblem.LATER_VERSION: "That link is of a later version than this bot.",
    LinkProblem.NOT_OUR_LINK: "That link is not one of ours.",
    LinkProblem.NOT_OUR_LABEL: "That label is not one of ours. Type the door's number.",
    LinkProblem.OLD_LABEL: (
        "That label is an old one that no longer counts. Type the door's number, and ask for a"
        " new label."
    ),
    LinkProblem.NO_SUCH_DOOR: (
        "That label belongs to no door in the register. Type the door's number."
    ),
}


def leads_nowhere(problem: LinkProblem) -> str:
    """Reply to a link or label that does not belong to a door."""
    return _NOWHERE[problem]


def names_no_door(words: str, asked: bool = False) -> str:
    """asked: a question that yes or no answers is open."""
    if not asked and (is_bare_yes(words) or is_bare_no(words)):
        return NO_YES_OR_NO
    return f"I don't know a door called {quoted(words)}."


def noted_late(words: str, number: str, last: bool = True) -> str:
    """A fault or a note that came once the check was over. number: of the door it is noted with,
    "" if it names one that is not in the register. last: the door checked last.
    """
    known = f" with door {number}" if number else ", but with no door, as I know none called that"
    which = ", the last you checked" if number and last else ""
    return (
        f"No check is open. I've noted {quoted(words)}{known}{which}."
        " If it is a fault, name its door and say it again."
    )


def not_in_register(words: str) -> str:
    """A number that does not exist."""
    return f"There is no {quoted(words)} in the register."


def no_door_for(words: str) -> str:
    """A query about a non-existent door."""
    return f"There is no door for {quoted(words)} in the register."


def too_many_to_show(count: int) -> str:
    """A query about a door that is too ambiguous."""
    return f"{count} doors match that. Say the floor as well, or the number."


def refused_before(door: str) -> str:
    """A door recognised again after a no to it."""
    return f"You said that it is not door {door}."


def not_those(count: int) -> str:
    """After a no to the doors offered."""
    return f"Not {'that' if count == 1 else 'those'}, then. {WHICH}"


def right_door(door: Door) -> str:
    return f"{door_name(door)}. Right?"


def one_of(doors: tuple[Door, ...]) -> str:
    """A few doors to choose from: "Door 12: …; or door 14: …? Tap one, or say which."."""
    first, *others = map(door_name, doors)
    named = "; or ".join([first, *(f"{other[0].lower()}{other[1:]}" for other in others)])
    return f"{named}? Tap one, or say which."


def right_look(door: Door) -> str:
    """A door whose repair somebody may want to look at."""
    return f"Look at the repair of {_small(door_name(door))}. Right?"


def one_of_looks(doors: tuple[Door, ...]) -> str:
    """A few doors with a repair to look at, to choose from."""
    return f"Repairs to look at: {_small(one_of(doors))}"


def repairs_wait(count: int) -> str:
    """The same, with too many doors to list."""
    return f"{counted(count, 'door')} with repairs to look at. Say which, by its number."


def _small(text: str) -> str:
    return text[0].lower() + text[1:]


def too_many(count: int) -> str:
    """Too many doors to list."""
    return f"{count} doors match that. Say the floor as well, or the number on the door."


def paused_at(doors: tuple[Door, ...]) -> str:
    """Doors whose checks were put aside, before asking which door is next."""
    numbers = listed([door.number for door in doors])
    return f"Paused: door {numbers}." if len(doors) == 1 else f"Paused: doors {numbers}."


def open_in_other_window(door: str) -> str:
    """Somebody opens a second window while they have a check open in the first."""
    return f"You're in the middle of door {door} in another window. Carry on with it here?"


def taken_over(door: str) -> str:
    """To the first window, once the second has taken the check over."""
    return f"Door {door} now goes on in your other window. Carry on with it here instead?"


def not_entered(words: str) -> str:
    """Words that came instead of a yes or no."""
    return f"“{words}” is not entered."


def say_again(told: tuple[str, ...]) -> str:
    """Words said before a check was taken over: they may report a fault."""
    words = ", ".join(f"“{each}”" for each in told)
    return f"Not entered yet: {words}. Say it again, or I'll ask about it before you sign."
