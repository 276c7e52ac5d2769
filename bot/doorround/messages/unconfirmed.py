"""Summaries: faults read back that got neither a yes nor a no, so that somebody asks."""

from __future__ import annotations

from doorround.domain.schedule.due import DoorId
from doorround.domain.summary import Period

MAX_UNCONFIRMED = 3


def unconfirmed_lines(with_reports: Period) -> list[str]:
    """A line for each of the first few, and the number of the rest."""
    lines = [
        f"Reported, not confirmed: {each.door[2]}{_at(with_reports, each.door)}: {each.words}"
        f" ({each.person})"
        for each in with_reports.unconfirmed[:MAX_UNCONFIRMED]
    ]
    rest = len(with_reports.unconfirmed) - MAX_UNCONFIRMED
    return [*lines, *([f"And {rest} more reported, not confirmed"] if rest > 0 else [])]


def _at(period: Period, door: DoorId) -> str:
    place = period.places.get(door, "")
    return f", {place}" if place else ""
