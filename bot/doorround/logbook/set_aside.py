"""Incoming messages that could not be processed: set aside, with an entry saying so."""

from __future__ import annotations

from datetime import datetime

from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook

MAX_WORDS = 500


def enter_set_aside(
    logbook: Logbook,
    talk: str,
    person: str,
    update: str,
    sent: str,
    why: str,
    at: datetime,
    words: str | None = None,
) -> None:
    """Enter it, for the talk's current check, if any. update: the messenger's id. sent: its type,
    in a word. words: as typed, truncated to MAX_WORDS characters. at: UTC.
    """
    try:
        check = logbook.position(talk)
    except LogbookError:
        check = None  # an unreadable update must not prevent this entry
    here = check if check is not None and not check.closed else None
    body = {
        "update": update,
        "sent": sent,
        "why": why,
        "words": words[:MAX_WORDS] if words else None,
    }
    entry = Entry(
        kind=EntryKind.SET_ASIDE,
        at=at,
        person=person,
        body=body,
        check=here.id if here else None,
        door=here.door.number if here else None,
    )
    with logbook.writing():
        logbook._enter([entry])
