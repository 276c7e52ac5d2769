"""One person's open checks, in whichever chat: paused checks put aside, resumed, moved.

A check put aside for another door keeps its state under a name of its own.
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
"""Takes the place of the channel in a chat's name."""


@dataclass(frozen=True)
class OpenCheck:
    """talk: name of its chat, or the name under which it was put aside."""

    talk: str
    check: Check

    @property
    def aside(self) -> bool:
        """Whether it was put aside for another door."""
        return is_of(ASIDE, self.talk)


def readable_check(logbook: Logbook, talk: str) -> Check | None:
    """The state of a talk; None also for one stored by another version that cannot be read, so that
    it does not block the others. Its answers are in the logbook.
    """
    try:
        return logbook.position(talk)
    except LogbookError:
        return None


def open_checks(logbook: Logbook, person: str) -> list[OpenCheck]:
    """Somebody's open checks, most recently moved first. Unreadable ones are left out: their
    answers are in the logbook.
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
    """Whether a check is of that door, by its current name in the register."""
    now = logbook.door_of_check(each.check.id, each.check.door)
    return (now.number, now.site, now.building) == (door.number, door.site, door.building)


def put_aside(logbook: Logbook, talk: str, now: datetime) -> None:
    """Put a chat's check aside under its own name, so that another can begin there."""
    check = logbook.position(talk)
    assert check is not None
    move_check(logbook, OpenCheck(talk, check), f"{ASIDE}/{check.id}", check.person, now)


def move_check(logbook: Logbook, moved: OpenCheck, to: str, person: str, now: datetime) -> Check:
    """Continue a check in another chat, under this person's name. Raises LogbookError if another
    one is open there.
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
