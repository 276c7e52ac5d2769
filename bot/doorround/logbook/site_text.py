"""Text of entries about the clock, the settings and absences."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from doorround.domain.entries import EntryKind
from doorround.logbook.records import EventRecord


def _ground(body: dict[str, Any]) -> str:
    return ", ".join((*body["floors"], *body["buildings"], *body["uses"])) or "nothing"


def _settings(body: dict[str, Any]) -> str:
    """Settings that changed; the first time, that they were recorded."""
    if body["from"] is None:
        return "noted for the first time"
    before, after = (_flat(body[side]) for side in ("from", "to"))
    names = [name for name in {**before, **after} if before.get(name) != after.get(name)]
    changes = (
        f"{name}: {before.get(name, 'not set')} → {after.get(name, 'not set')}" for name in names
    )
    return "; ".join(changes)


def _flat(settings: dict[str, Any]) -> dict[str, str]:
    flat = {"rules": ", ".join(settings["rules"]) or "none"}
    for table in ("uses", "doors"):
        for name, set_to in settings[table].items():
            why = f" ({set_to['why']})" if set_to["why"] else ""
            flat[f"door {name}" if table == "doors" else name] = set_to["every"] + why
    return flat | {f"days for {key}": str(days) for key, days in settings["defects"].items()}


SITE_TEXTS: dict[EntryKind, Callable[[EventRecord, object], str]] = {
    EntryKind.CLOCK_DOUBTED: lambda entry, _: (
        f"Clock in doubt: {entry.body['why']} ({entry.body['anchor'][:16]} UTC). No check moves a"
        " due date."
    ),
    EntryKind.CLOCK_TRUSTED: lambda entry, _: (
        f"The clock is said to be right (entry {entry.body['of']})"
        if entry.body["right"]
        else f"The clock is plausible again (entry {entry.body['of']})"
    ),
    EntryKind.SNOOZED: lambda entry, _: (
        f"{entry.body['name']} is left alone until {entry.body['until']}"
    ),
    EntryKind.DAYS_OFF: lambda entry, _: (
        f"{entry.body['name']} is away from {entry.body['from']} to {entry.body['until']}"
    ),
    EntryKind.AREA_GIVEN: lambda entry, _: (
        f"Given to {entry.body['name']} to check: " + _ground(entry.body)
    ),
    EntryKind.CAME_LATE: lambda entry, _: (
        f"Came late: what follows is of {entry.body['of'][:16].replace('T', ' ')} UTC"
    ),
    EntryKind.SETTINGS_CHANGED: lambda entry, _: f"Settings: {_settings(entry.body)}",
}
