"""What somebody sent and nobody could deal with: set aside, with an entry that says so."""

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
    """Enter it, at the check that the talk stands at, if any. update: the messenger's number of it.
    sent: what it was, in a word. words: as typed; kept up to MAX_WORDS characters. at: UTC.
    """
    try:
        check = logbook.position(talk)
    except LogbookError:
        check = None  # what cannot be read must not keep this from being entered
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
