"""Text of register entries, in trade terms."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.logbook.records import EventRecord
from doorround.messages.doors import door_line


def _door_added(entry: EventRecord, _: object) -> str:
    return f"Added to the register. {door_line(Door.model_validate(entry.body))}"


def _door_changed(entry: EventRecord, _: object) -> str:
    door = Door.model_validate(entry.body["door"])
    learnt = entry.body.get("learnt")
    names = [learnt["field"]] if learnt else entry.body.get("changed", [])
    changes = "; ".join(
        f"{name.replace('_', ' ')}: {_known(getattr(door, name))}" for name in names
    )
    return f"Register: {changes}" + (f" ({entry.body['why']})" if entry.body.get("why") else "")


def _known(value: Any) -> str:
    return "not known" if value is None else str(value)


def _moved(entry: EventRecord, _: object) -> str:
    was = entry.body["was"]
    now = entry.body["door"]
    names = entry.body["changed"]
    changes = "; ".join(f"{name} {was[name] or 'none'} → {now[name] or 'none'}" for name in names)
    return f"Moved: {changes} ({entry.body['why']})"


def _renumbered(entry: EventRecord, _: object) -> str:
    body = entry.body
    return f"Door {body['was']['number']} is now door {body['door']['number']} ({body['why']})"


def _checked_before(entry: EventRecord, _: object) -> str:
    body = entry.body
    by = f", by {body['by']}" if body.get("by") else ""
    return f"Last check before doorround: {body['on']}{by} ({body['source']})"


def _withdrawn(entry: EventRecord, _: object) -> str:
    body = entry.body
    return f"Withdrawn: entry {body['of']}, last check before doorround ({body['why']})"


def _imported(entry: EventRecord, _: object) -> str:
    body = entry.body
    return (
        f"Imported {body['file']}: {body['added']} doors added, {body['changed']} changed,"
        f" {body['refused']} rows refused"
    )


DOOR_TEXTS: dict[EntryKind, Callable[[EventRecord, object], str]] = {
    EntryKind.DOOR_ADDED: _door_added,
    EntryKind.DOOR_CHANGED: _door_changed,
    EntryKind.DOOR_MOVED: _moved,
    EntryKind.DOOR_RENUMBERED: _renumbered,
    EntryKind.DOOR_RETIRED: lambda entry, _: f"Retired: {entry.body['why']}",
    EntryKind.DOOR_BROUGHT_BACK: lambda entry, _: f"Back in use: {entry.body['why']}",
    EntryKind.CHECKED_BEFORE: _checked_before,
    EntryKind.CHECKED_BEFORE_WITHDRAWN: _withdrawn,
    EntryKind.FIRST_CHECK_PLANNED: lambda entry, _: f"First check planned for {entry.body['on']}",
    EntryKind.DOORS_IMPORTED: _imported,
    EntryKind.IMPORT_UNDONE: lambda entry, _: (
        f"Import of {entry.body['file']} undone (entry {entry.body['of']})"
    ),
    EntryKind.DOOR_OUT: lambda entry, _: f"Out of action: {entry.body['why']}",
    EntryKind.DOOR_FIT: lambda entry, _: f"Fit again: {entry.body['why']}",
}
