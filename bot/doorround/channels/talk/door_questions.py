"""Clarifies which door a query refers to; and records how a door was named."""

from __future__ import annotations

from typing import Any

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Prompt, PromptKind
from doorround.domain.door_reference import AskedQuery
from doorround.domain.entries import EntryKind
from doorround.domain.query import QueryKind
from doorround.messages import buttons, finding_door

MAX_SHOWN = 4


def which_shown(heard: AskedQuery) -> tuple[Prompt, ...]:
    """What to say if it is not clear which door to show; nothing if it is."""
    if heard.asked.what is not QueryKind.DOOR or heard.asked.number:
        return ()
    if not heard.doors:
        return (Prompt(text=finding_door.no_door_for(heard.words)),)
    if len(heard.doors) > MAX_SHOWN:
        return (Prompt(text=finding_door.too_many_to_show(len(heard.doors))),)
    numbers = dict.fromkeys(door.number for door in heard.doors)
    taps = tuple(buttons.show_door(number) for number in numbers)
    return (Prompt(text=finding_door.WHICH_OF_THEM, kind=PromptKind.READ_BACK, taps=taps),)


def with_name(turn: Turn, named: dict[str, Any]) -> Turn:
    """The start of a check, with how its door was named stored beside it."""
    entries = [
        (
            entry.model_copy(update={"body": {**entry.body, "door_named": named}})
            if entry.kind is EntryKind.CHECK_STARTED
            else entry
        )
        for entry in turn.enter
    ]
    return Turn(turn.check, turn.say, tuple(entries), turn.door)
