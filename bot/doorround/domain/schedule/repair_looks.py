"""Repairs waiting for a look, as short visits: due date, parts. Pure."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from doorround.domain.defects import Defect, State
from doorround.domain.schedule.due import DoorId, DueState, due_state, sunday_of


@dataclass(frozen=True)
class Look:
    """A short visit to one door: only the repaired parts, and the closing tests. on: due date, the
    earliest of its defects. days_late: 0 unless overdue.
    """

    door: DoorId
    defects: tuple[Defect, ...]
    on: date
    when: DueState
    days_late: int = 0

    @property
    def parts(self) -> tuple[str, ...]:
        """The repairs."""
        return tuple(dict.fromkeys(each.finding.component for each in self.defects))


def looks(defects: Iterable[Defect], today: date) -> list[Look]:
    """Short visits overdue, due on a day, or due by its Sunday; earliest first."""
    waiting: dict[DoorId, list[Defect]] = {}
    for each in defects:
        if each.state is State.MADE_GOOD and each.look_by is not None:
            waiting.setdefault(each.door, []).append(each)
    found = []
    for door, some in waiting.items():
        on = min(each.look_by for each in some if each.look_by)
        if on <= sunday_of(today):
            days_late = max(0, (today - on).days)
            found.append(Look(door, tuple(some), on, due_state(on, today), days_late))
    return sorted(found, key=lambda each: (each.on, each.door))
