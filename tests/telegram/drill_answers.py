"""The answers that a drill left in the logbook, told without their times."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from doorround.domain.entries import EntryKind
from doorround.logbook.store import Logbook


def answers(home: Path) -> dict[str, list[tuple[Any, ...]]]:
    """What the entries of each person say, in order, whole; but for their times, what a check is
    called, and what was set aside because kills met it twice.
    """
    with Logbook.open(home / "logbook.db") as logbook:
        assert logbook.verify() == []
        given: dict[str, list[tuple[Any, ...]]] = {}
        for entry in logbook.entries():
            if entry.kind is EntryKind.SET_ASIDE:
                continue
            given.setdefault(entry.person, []).append(
                (entry.kind, entry.door, _without_times(entry.body))
            )
        return given


def _without_times(body: Any) -> Any:
    if isinstance(body, dict):
        return {
            key: _without_times(value)
            for key, value in body.items()
            if key not in ("at", "started", "ended")
        }
    return [_without_times(each) for each in body] if isinstance(body, list) else body
