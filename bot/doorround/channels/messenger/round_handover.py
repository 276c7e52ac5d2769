"""Hands over a round on a messenger, and notifies those concerned."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.messenger.results import Notification, still_asked
from doorround.domain.check import Check, Prompt
from doorround.domain.people import Person
from doorround.logbook.handover import hand_over
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages import people as texts
from doorround.messages.doors import door_line


def handed_over(
    logbook: Logbook, giver: str, taker: str, by: str, now: datetime
) -> tuple[Check | None, tuple[Notification, ...]]:
    """Hand a round over, as hand_over(), with notifications: the taker learns the door and the open
    question; the giver, if somebody else did it, learns who has it.
    """
    people = People(logbook)
    before = people.person(taker).sites
    check = hand_over(logbook, giver, taker, by, now)
    asked = (
        (Prompt(text=door_line(check.door, logbook.several_sites())), *still_asked(check))
        if check
        else ()
    )
    said = (Prompt(text=texts.round_taken(giver)), *asked)
    gone = (Prompt(text=texts.round_given(taker, "")),) if by != giver else ()
    also = [Notification(each, said, moved_on=True) for each in people.accounts(taker)[:1]]
    also += [Notification(each, gone, moved_on=True) for each in people.accounts(giver)[:1] if gone]
    if people.person(taker).sites != before:
        also += _wider(logbook, giver, people.person(taker), by)
    return check, tuple(also)


def _wider(logbook: Logbook, giver: str, taker: Person, by: str) -> list[Notification]:
    """Notification to supervisors when somebody's sites were extended."""
    line = Prompt(text=texts.sites_widened(taker.name, giver, taker.sites))
    supervisors = [
        each.name for each in logbook.people() if any(map(each.supervises, taker.sites or ("",)))
    ]
    accounts = [
        People(logbook).accounts(name)[:1]
        for name in supervisors
        if name not in (giver, taker.name, by)
    ]
    return [Notification(account, (line,)) for each in accounts for account in each]
