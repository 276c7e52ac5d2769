"""Repairs in an invented estate, and looks at them: mostly by another person, some by the same one,
some too late.

The shares are invented (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from doorround.dialogue.turn import start_check
from doorround.domain.checklist import Checklist
from doorround.domain.defects import DeedKind, Defect, State
from doorround.domain.door import Door
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.repair_look import repairs_of
from doorround.domain.schedule.due import DoorId
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.sample.estate import CARETAKERS, CONTRACTOR, HASTY, SUPERVISOR
from doorround.sample.visits import Visitor

_DAYS = {Severity.ACT_NOW: 1.5, Severity.SOON: 14.0, Severity.PLANNED: 40.0}
_HOLDS = 11 / 12
"""Share of repairs that hold."""
_OWN = frozenset(("screw_loose", "bead_loose", "loose"))
"""Faults that a caretaker puts right."""
_SAME_LOOKS = 0.3
"""Share of repairs looked at by the person who made them."""
_LOOK_DAYS = (1, 1, 1, 2, 2, 3, 4, 9, 16)

STUBBORN = ("closer.ajar", "stops_short")
"""Question and fault of the door at which it recurs: a planted pattern."""

Wrong = Mapping[DoorId, dict[str, str]]
"""Existing faults, by question, of each door."""


@dataclass
class Repairs:
    """Pending repairs and looks, by day."""

    logbook: Logbook
    checklist: Checklist
    dice: Random
    due: dict[date, list[tuple[DoorId, int]]] = field(default_factory=dict)
    looks: dict[date, list[tuple[DoorId, str]]] = field(default_factory=dict)
    planned: set[int] = field(default_factory=set)
    returns: dict[date, list[DoorId]] = field(default_factory=dict)

    def plan(self, door: Door, id: DoorId, now: datetime, day: date) -> None:
        """Assign a door's open defects to somebody, for a future day."""
        for defect in read_defects(self.logbook, Targets(), door=door).at(id):
            if defect.state is not State.OPEN or defect.id in self.planned:
                continue
            self.planned.add(defect.id)
            days = self.dice.expovariate(1 / _DAYS.get(defect.severity, 20.0))
            due = _working(day + timedelta(days=1 + round(days)))
            self.due.setdefault(due, []).append((id, defect.id))
            to = defect.found_by if _is_own(defect) else CONTRACTOR
            act(self.logbook, defect, DeedKind.ASSIGNED, SUPERVISOR, now, to=to)

    def carry_out(
        self, day: date, doors: Mapping[DoorId, Door], wrong: Wrong, stubborn: DoorId | None
    ) -> None:
        """Carry out a day's repairs. stubborn: the door whose closer fails again some weeks after
        each repair.
        """
        for id in self.returns.pop(day, []):
            wrong[id].setdefault(*STUBBORN)
        for nth, (id, number) in enumerate(self.due.pop(day, [])):
            defect = read_defects(self.logbook, Targets(), door=doors[id]).called(number)
            self.planned.discard(number)
            if defect is None or defect.state is not State.OPEN:
                continue
            by = defect.found_by if _is_own(defect) else CONTRACTOR
            at = self._at(day, time(8)) + timedelta(minutes=nth)
            if not self._is_made_good(defect, by, at):
                continue
            part = defect.finding.question
            if id == stubborn and part == STUBBORN[0]:
                back = _working(day + timedelta(days=self.dice.randrange(14, 50)))
                self.returns.setdefault(back, []).append(id)
            if self.dice.random() < _HOLDS:
                wrong[id].pop(part, None)
            self._plan_look(id, by, day)

    def _is_made_good(self, defect: Defect, by: str, at: datetime) -> bool:
        try:
            what = "put right (sample data)"
            act(self.logbook, defect, DeedKind.MADE_GOOD, by, at, what, no_photo="sample data")
        except LogbookError:
            return False
        return True

    def _plan_look(self, id: DoorId, by: str, day: date) -> None:
        others = [name for name in CARETAKERS if name not in (by, HASTY)]
        own = by in CARETAKERS and self.dice.random() < _SAME_LOOKS
        person = by if own else self.dice.choice(others)
        on = _working(day + timedelta(days=self.dice.choice(_LOOK_DAYS)))
        if (id, person) not in self.looks.setdefault(on, []):
            self.looks[on].append((id, person))

    def look(self, day: date, doors: Mapping[DoorId, Door], wrong: Wrong) -> None:
        """A day's short visits, in the afternoon; none where a check came first."""
        at = self._at(day, time(14)) + timedelta(minutes=self.dice.randrange(40))
        visitor = Visitor(self.dice)
        for id, person in self.looks.pop(day, []):
            door = doors[id]
            repairs = repairs_of(read_defects(self.logbook, Targets(), door=door).at(id))
            if not repairs:
                continue
            at += visitor.walk(1)
            check = self.logbook.free_check_id(f"{at:%Y%m%d-%H%M%S}-{door.number}")
            begun = start_check(
                check, door, person, self.checklist, at, terse=True, repairs=repairs
            )
            at = visitor.visit(self.logbook, begun, wrong[id]).enter[-1].at
            self.plan(door, id, at, day)

    def _at(self, day: date, moment: time) -> datetime:
        return datetime.combine(day, moment, ZoneInfo(self.logbook.zone)).astimezone(UTC)


def _is_own(defect: Defect) -> bool:
    return defect.found_by in CARETAKERS and defect.finding.rule.rpartition(".")[2] in _OWN


def _working(day: date) -> date:
    while day.weekday() > 4:
        day += timedelta(days=1)
    return day
