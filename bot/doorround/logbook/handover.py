"""Hands over a round: the open check continues in another person's chat, under their name."""

from __future__ import annotations

from datetime import datetime

from doorround.domain.check import Check
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Person, Right
from doorround.logbook.errors import LogbookError
from doorround.logbook.open_checks import ASIDE, move_check, open_checks
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages import people as messages


def hand_over(logbook: Logbook, giver: str, taker: str, by: str, now: datetime) -> Check | None:
    """Hand one caretaker's round to another: the giver's sites and any open check, which is
    returned.

    The check moves to the taker's chat, and answers are entered under their name from then on. The
    giver's sites are added to the taker's. Raises LogbookError if the taker may not check doors,
    has an open check, or is the giver.
    """
    with logbook.writing():
        people = People(logbook)
        gives = people.person(giver)
        takes = people.person(taker)
        _refuse_taker(takes, giver)
        sites = (
            ()
            if not gives.sites or not takes.sites
            else tuple(dict.fromkeys((*takes.sites, *gives.sites)))
        )
        to = next((account.talk for account in people.accounts(taker)), f"terminal/{taker}")
        moved = _move(logbook, giver, taker, to, now)
        body = {
            "from": giver,
            "to": taker,
            "sites": list(gives.sites),
            "checks": [each.id for each in moved],
        }
        first = next((each for each in moved if logbook.position(to) == each), None)
        check, door = (first.id, first.door.number) if first else (None, None)
        logbook._enter(
            [
                Entry(
                    kind=EntryKind.HANDED_OVER, at=now, person=by, check=check, door=door, body=body
                )
            ]
        )
        if sites != takes.sites:
            changed = {"name": taker, "role": takes.role, "sites": list(sites)}
            logbook._enter([Entry(kind=EntryKind.ROLE_CHANGED, at=now, person=by, body=changed)])
        return first


def _refuse_taker(takes: Person, giver: str) -> None:
    """Raise LogbookError if that person cannot take the giver's round."""
    if giver == takes.name:
        raise LogbookError(messages.round_theirs_already(giver))
    if not takes.may(Right.CHECK):
        raise LogbookError(messages.may_check_no_doors(takes.name, takes.gone))


def _move(logbook: Logbook, giver: str, taker: str, to: str, now: datetime) -> list[Check]:
    """Move the giver's open checks to the taker: the current one, first, to the taker's chat; those
    put aside wait for the taker.
    """
    theirs = open_checks(logbook, giver)
    moved = []
    middle = next((each for each in theirs if not each.aside), None)
    if middle is not None:
        there = logbook.position(to)
        if there is not None and not there.closed:
            raise LogbookError(messages.busy_at_door(taker, there.door.number))
        moved = [move_check(logbook, middle, to, taker, now)]
    for each in theirs:
        if each is not middle:
            waiting = f"{ASIDE}/{each.check.id}"
            moved.append(move_check(logbook, each, waiting, taker, now))
    return moved


def open_check(logbook: Logbook, person: str) -> Check | None:
    """Somebody's current check, in whichever chat, or else one they put aside; None if there is
    none.
    """
    theirs = open_checks(logbook, person)
    return next((each.check for each in theirs if not each.aside), None) or next(
        (each.check for each in theirs), None
    )
