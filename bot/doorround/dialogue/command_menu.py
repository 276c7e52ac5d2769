"""Slash commands in a messenger: who may use which, as a menu and as help.

Data and pure functions.
"""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.door_reference import DoorWord
from doorround.domain.people import MAY, Right, Role
from doorround.domain.values import Word
from doorround.messages import help as help_texts

NO_MENU = "none"
"""Menu of people who no longer have access."""
GROUP_MENU = "group"
"""Menu of a group that is bound to a site."""


@dataclass(frozen=True)
class Order:
    """word: the command after "/". after: its arguments, for the help. does: description for menu
    and help. group: it works in a group.
    """

    word: str
    after: str
    does: str
    needs: Right
    group: bool = False


ORDERS = (
    Order("door", "", help_texts.DOES_DOOR, Right.CHECK),
    Order("next", "", help_texts.DOES_NEXT, Right.CHECK),
    Order("look", "NUMBER", help_texts.DOES_LOOK, Right.READ),
    Order("aloud", "", help_texts.DOES_ALOUD, Right.CHECK),
    Order("handover", "NAME", help_texts.DOES_HANDOVER, Right.HAND_OVER),
    Order("people", "", help_texts.DOES_PEOPLE, Right.CHANGE_PEOPLE, group=True),
    Order("invite", "ROLE SITE", help_texts.DOES_INVITE, Right.INVITE),
    Order("role", "ROLE NAME", help_texts.DOES_ROLE, Right.CHANGE_PEOPLE, group=True),
    Order("remove", "NAME", help_texts.DOES_REMOVE, Right.CHANGE_PEOPLE, group=True),
    Order("bind", "SITE", help_texts.DOES_BIND, Right.BIND_GROUP, group=True),
    Order("mydata", "", help_texts.DOES_MYDATA, Right.OWN),
    Order("leave", "", help_texts.DOES_LEAVE, Right.OWN),
    Order("help", "", help_texts.DOES_HELP, Right.OWN, group=True),
)
OLD_WORDS = {"farewell": "remove"}
"""Renamed commands: the old word works for one more release."""
IN_GROUPS = tuple(order for order in ORDERS if order.group)
# "/skip", "/go_back" and "/next" go to the talk at the door, as if they had been spoken
TALK_WORDS = frozenset({"next", "newdoor", *(word.casefold() for word in (*Word, *DoorWord))}) - {
    "help"
}


def orders_of(role: Role) -> tuple[Order, ...]:
    """Commands for a role, in menu order."""
    return tuple(order for order in ORDERS if order.needs in MAY[role])


def menu_of(role: Role) -> tuple[tuple[str, str], ...]:
    """The command menu for a channel to set: pairs of word and description."""
    return tuple((order.word, order.does) for order in orders_of(role) if order.word != "bind")


def group_menu() -> tuple[tuple[str, str], ...]:
    """The command menu of a group that is bound to a site, as menu_of()."""
    return tuple((order.word, order.does) for order in IN_GROUPS)


def help_of(role: Role) -> str:
    """Help for a role, one command on each line."""
    return "\n".join((help_texts.role_help(role), *(_line(order) for order in orders_of(role))))


def group_help(site: str) -> str:
    """Help for a group that is bound to a site."""
    return "\n".join((help_texts.group_help(site), *(_line(order) for order in IN_GROUPS)))


def _line(order: Order) -> str:
    return help_texts.command_line(f"/{order.word} {order.after}".strip(), order.does)


def read_order(text: str) -> tuple[str, str] | None:
    """Split a command: "/invite@some_bot caretaker Mill House" gives ("invite", "caretaker Mill
    House"). None for any other text.
    """
    words = text.strip().split(maxsplit=1)
    if not words or not words[0].startswith("/") or len(words[0]) < 2:
        return None
    return words[0][1:].partition("@")[0].lower(), words[1].strip() if len(words) > 1 else ""


def meant_for(text: str) -> str:
    """The bot that a command addresses, in lower case: "some_bot" for "/people@some_bot"; "" if
    none.
    """
    words = text.split(maxsplit=1)
    return words[0].partition("@")[2].lower() if words else ""


def is_for_the_talk(word: str) -> bool:
    """Whether a command's word belongs to the talk at a door: "skip", "go_back", "next"."""
    return word.replace("_", " ").casefold() in TALK_WORDS
