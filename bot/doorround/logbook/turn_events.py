"""Converts a turn of the talk into logbook entries. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime

from doorround.dialogue.turn_result import Turn
from doorround.domain.answers import Answer
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind


def stamp(at: datetime) -> str:
    """A time as stored: RFC 3339 in UTC with microseconds.

    Raises ValueError for a naive time.
    """
    if at.tzinfo is None or at.utcoffset() is None:
        raise ValueError(f"{at.isoformat()} has no time zone. Give times in UTC.")
    return at.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def entries_of(
    turn: Turn, register: Door, asked_of: Door, checklist_hash: str, at: datetime
) -> tuple[Entry, ...]:
    """A turn's entries, in order.

    A check's start gets the hash of its checklist and the location of its door. Facts about the
    door learnt in the turn are merged into the current register, not into the door as at the start
    of the check, so that a concurrent change by somebody else is kept. register: the door now.
    asked_of: the door before this turn. at: UTC, for anything without a time of its own.
    """
    kept: list[Entry] = [turn.message] if turn.message else []
    for entry in turn.enter:
        if entry.kind is EntryKind.CHECK_STARTED:
            kept.append(_started(entry, turn.check.door, checklist_hash))
        elif entry.kind is EntryKind.DOOR_CHANGED:
            kept.append(_laid_over(entry, register, turn))
            register = Door.model_validate(kept[-1].body["door"])
        else:
            kept.append(entry)
    if turn.door is not None and not any(
        entry.kind is EntryKind.DOOR_CHANGED for entry in turn.enter
    ):
        kept.extend(_learnt(turn, turn.door, register, asked_of, at))
    return tuple(kept)


def _started(entry: Entry, door: Door, checklist_hash: str) -> Entry:
    more = {"checklist_hash": checklist_hash, "site": door.site, "building": door.building}
    return entry.model_copy(update={"body": {**entry.body, **more}})


def _laid_over(entry: Entry, register: Door, turn: Turn) -> Entry:
    learnt = entry.body.get("learnt")
    if not learnt:
        return entry
    field = learnt["field"]
    door = {**register.model_dump(mode="json"), field: entry.body["door"][field]}
    learnt = {"answer": _answer_that_fills(turn, field), **learnt}
    body = {**entry.body, "door": door, "learnt": learnt}
    # by its current number: it may have been renumbered since the check began
    return entry.model_copy(update={"door": register.number, "body": body})


def _learnt(
    turn: Turn, door: Door, register: Door, asked_of: Door, at: datetime
) -> Iterable[Entry]:
    now = register.model_dump(mode="json")
    for field in changed_fields(asked_of, door):
        now = {**now, field: door.model_dump(mode="json")[field]}
        learnt = {"field": field, "value": now[field], "answer": _answer_that_fills(turn, field)}
        yield Entry(
            kind=EntryKind.DOOR_CHANGED,
            at=at,
            person=turn.check.person,
            door=register.number,
            check=turn.check.id,
            body={"door": now, "learnt": learnt},
        )


def changed_fields(before: Door, after: Door) -> tuple[str, ...]:
    """Names of the fields in which two descriptions of a door differ."""
    return tuple(
        name for name in Door.model_fields if getattr(before, name) != getattr(after, name)
    )


def _answer_that_fills(turn: Turn, field: str) -> str | None:
    filling = {
        question.key for question in turn.check.checklist.question if question.fills == field
    }
    for entry in turn.enter:
        if (
            entry.kind is EntryKind.ANSWERED
            and Answer.model_validate(entry.body).question in filling
        ):
            return str(entry.body["id"])
    return None
