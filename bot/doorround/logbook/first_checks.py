"""Enters planned first checks for doors never checked."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.schedule.due import DoorStatus
from doorround.logbook.store import Logbook


def plan_first_checks(
    logbook: Logbook, planned: Iterable[tuple[DoorStatus, date]], person: str, now: datetime
) -> None:
    """Enter the day on which each door is to have its first check."""
    entries = [
        Entry(
            kind=EntryKind.FIRST_CHECK_PLANNED,
            at=now,
            person=person,
            door=door.number,
            body={"site": door.site, "building": door.building, "on": day.isoformat()},
        )
        for door, day in planned
    ]
    with logbook.writing():
        logbook._enter(entries)
