"""Adding a door in the chat."""

from __future__ import annotations

from doorround.domain.door import Door
from doorround.messages.doors import door_name

WHICH_NUMBER = "A new door. What is the number on it? Type it, or “cancel”."
WHICH_BUILDING = "Which building is it in? Tap one, or type its name."
WHICH_SITE = "Which site is it on? Tap one."
WHERE = "Where is it? Type floor and place, such as: second floor, by stair B."
TYPE_IT = "Please type it: I can't make out a new name by voice."
NOT_ADDED = "Nothing was added."
SEND_PHOTO = "Send a photo of it if you like: it is kept with the check."


def sure(door: Door) -> str:
    """A new door read back before it is added."""
    return f"A new {door_name(door)[:1].lower()}{door_name(door)[1:]}. Add it and check it now?"


def exists(door: Door) -> str:
    """A number already in use."""
    return f"{door_name(door)} is in the register already. Give another number, or “cancel”."


def no_number(why: str) -> str:
    """An invalid number."""
    return f"{why} What is the number on it?"
