"""Starts a check for a scanned label or "/door", or says why it cannot."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.messenger.inbound.conversation import UpdateOutcome
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.results import StartCheck, still_asked
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Prompt
from doorround.domain.door import Door
from doorround.messages import buttons, receiving


def start_check(talk: Talk, wanted: StartCheck, now: datetime) -> UpdateOutcome:
    """Begin the check of a door, or ask which (None).

    An open check stays open, and its question is repeated.
    """
    door = wanted.door
    check = talk.check
    if check is not None:
        say = (Prompt(text=_in_the_way(check.door, door, wanted.look)), *still_asked(check))
        return UpdateOutcome(messages(say, check=check.id), True, outcome="a check is open")
    say = (talk.ask_door(now) if door is None else talk.begin_at(door, now, wanted.look)).say
    return UpdateOutcome(messages(say, check=talk.check.id if talk.check else None), True)


def _in_the_way(open_door: Door, wanted: Door | None, look: bool) -> str:
    elsewhere = wanted is not None and wanted.site != open_door.site
    number, other = (_called(door, elsewhere) for door in (open_door, wanted or open_door))
    if wanted is not None and look:
        return receiving.check_open_look(number, buttons.look_at_door(wanted.number))
    if wanted is None or _id(wanted) == _id(open_door):
        return receiving.check_open(number)
    return receiving.check_open_elsewhere(number, other)


def _called(door: Door, with_site: bool) -> str:
    return f"{door.number}, {door.site}," if with_site and door.site else door.number


def _id(door: Door) -> tuple[str, str, str]:
    return door.number, door.site, door.building
