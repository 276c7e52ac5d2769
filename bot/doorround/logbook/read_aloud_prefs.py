"""Read-aloud preference: an entry per change."""

from __future__ import annotations

from datetime import datetime

from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.store import Logbook


def read_aloud_to(logbook: Logbook) -> frozenset[str]:
    """Names of people who want questions read aloud."""
    return frozenset(name for (name,) in logbook._rows("SELECT person FROM reading WHERE aloud"))


def set_read_aloud(logbook: Logbook, person: str, aloud: bool, at: datetime) -> None:
    """Enter that a person wants questions read aloud, or no longer does."""
    with logbook.writing():
        logbook._enter(
            [Entry(kind=EntryKind.READING_SET, at=at, person=person, body={"aloud": aloud})]
        )
