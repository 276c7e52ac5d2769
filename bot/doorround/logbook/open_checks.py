"""The open checks of one person, in whichever chat: paused ones put aside, taken up again, moved.

A check that was put aside for another door keeps its place under a name of its own.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from doorround.domain.address import is_of
from doorround.domain.check import CLOSED, Check
from doorround.domain.door import Door
from doorround.logbook.chain import canonical_json
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

ASIDE = "aside"
"""Stands for the channel where the name of a chat would have one."""


@dataclass(frozen=True)
class OpenCheck:
    """talk: name of the chat it stands in, or the name under which it was put aside."""

    talk: str
    check: Check

    @property
    def aside(self) -> bool:
        """Whether it was put aside for another door."""
        return is_of(ASIDE, self.talk)


def readable_check(logbook: Logbook, talk: str) -> Check | None:
    """Where a talk stands; None also for one that was kept by another version and cannot be read,
    so that it keeps nothing of the others back. Its answers are in the logbook.
    """
    try:
        return logbook.position(talk)
    except LogbookError:
        return None


def open_checks(logbook: Logbook, person: str) -> list[OpenCheck]:
    """The open checks of somebody, the one that moved last first. What cannot be read any more is
    left out: its answers are in the logbook.
    """
    rows = logbook._rows(
        "SELECT talk, position FROM talks WHERE json_extract(position, '$.person') = ?"
        " ORDER BY updated DESC, talk",
        person,
    )
    found = []
    for talk, position in rows:
        if json.loads(position)["stage"] in CLOSED:
            continue
        if (check := readable_check(logbook, talk)) is not None:
            found.append(OpenCheck(talk, check))
    return found


def at_door(logbook: Logbook, each: OpenCheck, door: Door) -> bool:
    """Whether a check is of that door, as the register calls it now."""
    now = logbook.door_of_check(each.check.id, each.check.door)
    return (now.number, now.site, now.building) == (door.number, door.site, door.building)


def put_aside(logbook: Logbook, talk: str, now: datetime) -> None:
    """Have the check of a chat wait under its own name, so that another may begin there."""
    check = logbook.position(talk)
    assert check is not None
    move_check(logbook, OpenCheck(talk, check), f"{ASIDE}/{check.id}", check.person, now)


def move_check(logbook: Logbook, moved: OpenCheck, to: str, person: str, now: datetime) -> Check:
    """Have a check go on in another chat, under this person's name. Raises LogbookError
    where another one is open there.
    """
    check = moved.check.model_copy(update={"person": person})
    with logbook.writing():
        conn = logbook._db.conn
        if to != moved.talk:
            logbook._refuse_second(to)
            conn.execute("DELETE FROM talks WHERE talk = ?", (to,))
            conn.execute("DELETE FROM door_search WHERE talk = ?", (to,))
        conn.execute(
            "UPDATE talks SET talk = ?, position = ?, updated = ? WHERE talk = ?",
            (to, canonical_json(check.model_dump(mode="json")), stamp(now), moved.talk),
        )
    return check
