"""Checks of one person that are open in another window, and taking them over.

A check continues in another window only after a yes. Pure: reads only its arguments.
"""

from __future__ import annotations

from datetime import datetime

from pydantic import BaseModel, ConfigDict

from doorround.dialogue.check_summary import how_far
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Prompt, PromptKind
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    DoorCommand,
    DoorReference,
)
from doorround.domain.entries import EntryKind
from doorround.english.bare_answers import is_asked, is_bare_answer
from doorround.messages import finding_door, replying
from doorround.messages.buttons import YES_NO


class TakeOver(BaseModel):
    """The question whether a check that is open in another window continues here.

    check: its id. wanted: the door whose check begins after a no. left: it was open here, and was
    taken over there. told: what was said here instead of a yes or no.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    check: str
    door: Door
    wanted: Door | None = None
    left: bool = False
    told: tuple[str, ...] = ()


def may_take_over(check: Check, wanted: Door | None = None) -> TakeOver:
    """The question for somebody who opens a second window. wanted: the door they named there."""
    return TakeOver(check=check.id, door=check.door, wanted=wanted)


def with_told(asked: TakeOver, heard: AnyDoorReference) -> TakeOver:
    """The question with words that answer it neither way: they may report a fault."""
    words = str(getattr(heard, "words", None) or "").strip()
    if (
        isinstance(heard, DoorCommand | DoorReference)
        or not words
        or words in asked.told
        or is_bare_answer(words)
        or is_asked(words)
    ):
        return asked
    return asked.model_copy(update={"told": (*asked.told, words)})


def ask_to_take_over(asked: TakeOver, why: str = "") -> Prompt:
    """Prompt for the question. why: text before it, if it is repeated."""
    number = asked.door.number
    line = (
        finding_door.taken_over(number) if asked.left else finding_door.open_in_other_window(number)
    )
    told = finding_door.not_entered(asked.told[-1]) if asked.told else ""
    text = " ".join(filter(None, (told, why, line)))
    return Prompt(text=text, kind=PromptKind.READ_BACK, taps=YES_NO)


def goes_on_here(
    check: Check, now: datetime, there: str, here: str, told: tuple[str, ...] = ()
) -> Turn:
    """The first turn of a check in the window that took it over: repeats the last prompts.

    there, here: names of the two chats. told: what was said here before the yes, to be shown before
    the signature.
    """
    unread = tuple(dict.fromkeys((*check.unread_at_end, *told)))
    if told:
        check = check.model_copy(update={"unread_at_end": unread, "told_unread": False})
    builder = TurnBuilder(check, now)
    builder.enter(EntryKind.RESUMED, taken_over={"from": there, "to": here})
    again = check.said
    builder.say(replying.goes_on_here(check.door.number, *how_far(check)))
    if told:
        builder.say(finding_door.say_again(told))
    for prompt in again:
        builder.prompt(prompt)
    turn = builder.turn()
    # "repeat" repeats the question, not that the check moved
    kept = turn.check.model_copy(update={"said": again})
    return Turn(kept, turn.say, turn.enter)
