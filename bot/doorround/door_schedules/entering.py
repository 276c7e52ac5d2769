"""Enters a plan into the logbook, in one transaction, and undoes the last import."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.door_schedules.import_plan import (
    UNDONE,
    ImportLine,
    ImportPlan,
    Register,
    RowOutcome,
)
from doorround.logbook.door_changes import (
    PLACES,
    bring_back_door,
    enter_last_check,
    move_door,
    retire_door,
    withdraw_last_check,
)
from doorround.logbook.due import door_statuses
from doorround.logbook.errors import LogbookError
from doorround.logbook.imports import checked_with_doorround, last_import, used_since
from doorround.logbook.store import Logbook


def read_register(logbook: Logbook) -> Register:
    """The register in the form that a plan needs."""
    here = checked_with_doorround(logbook)
    checked = {
        each.id: (each.checked, each.id in here) for each in door_statuses(logbook) if each.checked
    }
    retired = tuple((each.door, each.why) for each in logbook.retired_doors())
    return Register(tuple(logbook.doors()), retired, checked)


@dataclass
class _Import:
    """An import in progress. done: the steps to undo, in order."""

    logbook: Logbook
    file: str
    person: str
    now: datetime
    done: list[dict[str, Any]]

    @property
    def why(self) -> str:
        return f"imported from {self.file}"

    def note(self, did: str, door: Door, before: Door | None = None) -> None:
        deed: dict[str, Any] = {"did": did, "door": [door.site, door.building, door.number]}
        if before is not None:
            deed |= {
                "before": before.model_dump(mode="json"),
                "after": door.model_dump(mode="json"),
            }
        self.done.append(deed)


def enter_plan(
    logbook: Logbook, plan: ImportPlan, file: str, sha256: str, person: str, now: datetime
) -> None:
    """Enter all of a plan, or nothing. Raises LogbookError if a door was changed since the plan was
    made.
    """
    with logbook.writing():
        running = _Import(logbook, file, person, now, [])
        for line in plan.lines:
            if line.deed is RowOutcome.ADD:
                _add(running, line)
            elif line.deed is RowOutcome.CHANGE:
                _change(running, line)
        body = {
            "file": file,
            "sha256": sha256,
            "added": len(plan.of(RowOutcome.ADD)),
            "changed": len(plan.of(RowOutcome.CHANGE)),
            "refused": len(plan.of(RowOutcome.REFUSE)) + sum(each.refused for each in plan.left),
            "done": running.done,
        }
        logbook._enter([Entry(kind=EntryKind.DOORS_IMPORTED, at=now, person=person, body=body)])


def _add(running: _Import, line: ImportLine) -> None:
    assert line.door is not None
    running.logbook.add_door(line.door, running.person, running.now)
    running.note("added", line.door)
    _last_check(running, line, line.door)


def _change(running: _Import, line: ImportLine) -> None:
    assert line.door is not None and line.before is not None
    logbook, before = running.logbook, line.before
    if line.brought_back:
        bring_back_door(logbook, before, running.why, running.person, running.now)
        running.note("brought back", before)
    if logbook.door(before.number, before.site, before.building) != before:
        raise LogbookError(
            f"Door {before.number} was changed meanwhile. Nothing was entered; import again."
        )
    after = line.door.model_copy(update={"number": before.number})
    _describe(running, before, after)
    _last_check(running, line, after)


def _describe(running: _Import, before: Door, after: Door) -> None:
    """Update a door's description: its location, then its other fields."""
    logbook = running.logbook
    places = {name: getattr(after, name) for name in PLACES}
    if any(getattr(before, name) != place for name, place in places.items()):
        moved = move_door(logbook, before, places, running.why, running.person, running.now)
        running.note("moved", moved, before)
        before = moved
    if before != after:
        logbook.change_door(after, running.person, running.now, running.why)
        running.note("changed", after, before)


def _last_check(running: _Import, line: ImportLine, door: Door) -> None:
    if line.last_check is None:
        return
    by = line.row.checked_by or None
    source = f"{running.file}, {line.row.cell}"
    entered = enter_last_check(
        running.logbook, door, line.last_check, source, running.person, running.now, by
    )
    if entered:
        running.note("checked before", door)


@dataclass(frozen=True)
class Undone:
    """Result of undoing an import. kept: doors that were left, with the reason."""

    file: str
    at: datetime
    doors: int
    kept: tuple[tuple[str, str], ...]


def undo_import(logbook: Logbook, person: str, now: datetime) -> Undone:
    """Undo the last import still in force: doors it added are retired, fields it changed are
    restored. A door with any later activity is kept, and so is that activity. Raises LogbookError
    if there is none.
    """
    with logbook.writing():
        entry = last_import(logbook)
        why = f"{UNDONE}: {entry.body['file']}"
        running = _Import(logbook, entry.body["file"], person, now, [])
        kept: dict[str, str] = {}
        for deed in reversed(entry.body["done"]):
            try:
                _take_back(running, deed, why, entry.seq)
            except LogbookError as error:
                kept.setdefault(deed["door"][2], str(error))
        body = {"of": entry.seq, "file": entry.body["file"], "kept": sorted(kept)}
        logbook._enter([Entry(kind=EntryKind.IMPORT_UNDONE, at=now, person=person, body=body)])
    doors = len({tuple(deed["door"]) for deed in entry.body["done"]})
    return Undone(entry.body["file"], entry.at, doors - len(kept), tuple(kept.items()))


def _take_back(running: _Import, deed: dict[str, Any], why: str, imported: int) -> None:
    logbook = running.logbook
    site, building, number = deed["door"]
    door = logbook.door(number, site, building)
    if used_since(logbook, door, imported):
        raise LogbookError("it was checked or put out of action since")
    if "before" in deed and door.model_dump(mode="json") != deed["after"]:
        raise LogbookError("it was changed since")
    if deed["did"] in ("added", "brought back"):
        retire_door(logbook, door, why, running.person, running.now)
    elif deed["did"] == "checked before":
        withdraw_last_check(logbook, door, why, running.person, running.now)
    elif deed["did"] == "moved":
        places = {name: deed["before"][name] for name in PLACES}
        move_door(logbook, door, places, why, running.person, running.now)
    else:
        before = Door.model_validate(deed["before"])
        logbook.change_door(before, running.person, running.now, why)
