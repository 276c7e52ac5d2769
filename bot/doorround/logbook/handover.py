"""Handing a round over: what somebody is in the middle of goes on in another person's chat, under
their name.
"""

from __future__ import annotations

import json
from datetime import datetime

from doorround.domain.check import CLOSED, Check
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Person, Right
from doorround.logbook.chain import canonical_json
from doorround.logbook.errors import LogbookError
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp
from doorround.messages import people as messages


def hand_over(logbook: Logbook, giver: str, taker: str, by: str, now: datetime) -> Check | None:
    """Hand the round of one caretaker to another: the giver's sites and the check they are in the
    middle of, if any.

    The check moves to the taker's chat and their answers stand under their name from here on. The
    giver's sites are added to the taker's. Raises LogbookError where the taker may not check doors,
    is in the middle of a check, or is the giver.
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
            "checks": [moved.id] if moved else [],
        }
        check, door = (moved.id, moved.door.number) if moved else (None, None)
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
        return moved


def _refuse_taker(takes: Person, giver: str) -> None:
    """Raise LogbookError where that person cannot take the giver's round."""
    if giver == takes.name:
        raise LogbookError(messages.round_theirs_already(giver))
    if not takes.may(Right.CHECK):
        raise LogbookError(messages.may_check_no_doors(takes.name, takes.gone))


def _move(logbook: Logbook, giver: str, taker: str, to: str, now: datetime) -> Check | None:
    """Move the giver's open check to the taker's chat. None where there is none."""
    talk = _open_talk(logbook, giver)
    if talk is None:
        return None
    standing = logbook.position(talk)
    there = logbook.position(to)
    assert standing is not None
    if there is not None and not there.closed:
        raise LogbookError(messages.busy_at_door(taker, there.door.number))
    moved = standing.model_copy(update={"person": taker})
    conn = logbook._db.conn
    conn.execute("DELETE FROM talks WHERE talk = ?", (to,))
    conn.execute("DELETE FROM door_search WHERE talk = ?", (to,))
    conn.execute(
        "UPDATE talks SET talk = ?, position = ?, updated = ? WHERE talk = ?",
        (to, canonical_json(moved.model_dump(mode="json")), stamp(now), talk),
    )
    return moved


def open_check(logbook: Logbook, person: str) -> Check | None:
    """The check that somebody is in the middle of, in whichever chat; None where there is none."""
    talk = _open_talk(logbook, person)
    return logbook.position(talk) if talk is not None else None


def _open_talk(logbook: Logbook, person: str) -> str | None:
    rows = logbook._rows(
        "SELECT talk, position FROM talks WHERE json_extract(position, '$.person') = ?", person
    )
    return next(
        (talk for talk, position in rows if json.loads(position)["stage"] not in CLOSED), None
    )
