"""Settings that affect results, as entries: old value, new value, time; and those in force on a
past day.
"""

from __future__ import annotations

import json
from datetime import date, datetime
from typing import Any

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.settings_in_force import settings_of, with_settings
from doorround.logbook.as_of import as_of
from doorround.logbook.connection import Connection
from doorround.logbook.store import Logbook

THE_FILE = "settings file"
"""The person named for a change made in the file."""
_CHANGES = "SELECT seq, body FROM entries WHERE kind = 'settings changed' ORDER BY seq"


def note_settings(logbook: Logbook, plan: Plan, now: datetime, person: str = THE_FILE) -> bool:
    """Enter the settings that affect results, if they differ from those last entered."""
    with logbook.writing():
        last = _changes(logbook)[-1:]
        before = last[0][1]["to"] if last else None
        after = settings_of(plan)
        if before == after:
            return False
        body = {"from": before, "to": after}
        entry = Entry(kind=EntryKind.SETTINGS_CHANGED, at=now, person=person, body=body)
        logbook._enter([entry])
        return True


def plan_as_of(logbook: Connection, plan: Plan, seq: int) -> Plan:
    """The plan with the settings in force when the entry of that number was the last.

    plan: the current one; it applies if no setting was entered since, or ever.
    """
    changes = _changes(logbook)
    [(last,)] = logbook._rows("SELECT coalesce(max(seq), 0) FROM entries")
    if not changes or seq >= last:
        return plan
    then = [body["to"] for entry, body in changes if entry <= seq]
    return with_settings(plan, then[-1] if then else changes[0][1]["from"] or changes[0][1]["to"])


def plan_on(logbook: Connection, plan: Plan, day: date) -> Plan:
    """The plan with the settings in force at the end of a local day."""
    return plan_as_of(logbook, plan, as_of(logbook, day))


def _changes(logbook: Connection) -> list[tuple[int, dict[str, Any]]]:
    return [(seq, json.loads(text)) for seq, text in logbook._rows(_CHANGES)]
