"""Some years of an invented estate, day by day, through the real talk, rules and logbook."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from doorround.dialogue.turn import start_check, take_turn
from doorround.dialogue.turn_result import Turn
from doorround.domain.checklist import Checklist
from doorround.domain.defects import DeedKind, State
from doorround.domain.door import Door, Use
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.schedule.due import DoorId, When, due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.due import doors_due, refuse_access
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.sample.answers import all_answers, finish, new_faults
from doorround.sample.estate import CARETAKERS, CONTRACTOR, SUPERVISOR, sample_doors

MARK = "Sample data: an invented estate. No door, person or fault in it is real."
_ROUND_FIRST, _MINUTES = time(9, 0), 6
_REFUSED = 0.3
"""How often nobody opens a flat."""
_DONE = 0.92
"""How much of what is due on a working day is checked."""
_REPAIR_DAYS = {Severity.ACT_NOW: 1.5, Severity.SOON: 9.0, Severity.PLANNED: 30.0}


@dataclass
class _Estate:
    logbook: Logbook
    checklist: Checklist
    dice: Random
    doors: dict[DoorId, Door] = field(default_factory=dict)
    wrong: dict[DoorId, dict[str, str]] = field(default_factory=dict)
    looked: dict[DoorId, date] = field(default_factory=dict)
    repairs: dict[date, list[tuple[DoorId, int]]] = field(default_factory=dict)
    planned: set[int] = field(default_factory=set)


def live_through(
    logbook: Logbook,
    checklist: Checklist,
    doors: int,
    first: date,
    last: date,
    seed: int,
    told: Callable[[date], None] = lambda day: None,
) -> None:
    """Fill a new logbook with an invented estate and what happened to it. first, last: local days.
    told: called after each day.
    """
    estate = _Estate(logbook, checklist, Random(seed))
    _furnish(estate, doors, first)
    day = first
    while day <= last:
        if day.weekday() < 5:
            with logbook.writing():
                _repair(estate, day)
                _round(estate, day)
        told(day)
        day += timedelta(days=1)


def _furnish(estate: _Estate, count: int, first: date) -> None:
    logbook, at = estate.logbook, _at(estate, first, time(7))
    with logbook.writing():
        logbook.note_alone(MARK, SUPERVISOR, at)
        for name in (*CARETAKERS, CONTRACTOR):
            logbook.add_person(name, "caretaker", at)
        logbook.add_person(SUPERVISOR, "supervisor", at)
        for door in sample_doors(count, estate.dice):
            logbook.add_door(door, SUPERVISOR, at)
            id = (door.site, door.building, door.number)
            estate.doors[id], estate.wrong[id] = door, {}
            estate.looked[id] = first - timedelta(days=estate.dice.randrange(200))


def _at(estate: _Estate, day: date, moment: time) -> datetime:
    return datetime.combine(day, moment, ZoneInfo(estate.logbook.zone)).astimezone(UTC)


def _round(estate: _Estate, day: date) -> None:
    """The caretakers check most of what is due, building by building, until the day is over."""
    now = _at(estate, day, _ROUND_FIRST)
    due = due_list(doors_due(estate.logbook, Intervals(), day, now), Intervals(), day)
    walked = [each.door for each in due if each.when is not When.THIS_WEEK]
    at_once = max(4, len(estate.doors) // 12)
    for nth, door in enumerate(walked[: at_once * len(CARETAKERS)]):
        if estate.dice.random() > _DONE:
            continue
        person = CARETAKERS[hash_of(door.building) % len(CARETAKERS)]
        minutes = _MINUTES * (nth // len(CARETAKERS)) + estate.dice.random() * 2
        at = now + timedelta(minutes=minutes, seconds=nth)
        flat = estate.doors[door.id].use is Use.FLAT_ENTRANCE
        if flat and estate.dice.random() < _REFUSED:
            refuse_access(estate.logbook, estate.doors[door.id], "nobody in", person, at)
        else:
            _check(estate, door.id, person, at, day)


def hash_of(text: str) -> int:
    """A number of a text that is the same in every run, as Python's own hash is not."""
    return sum(text.encode())


def _check(estate: _Estate, id: DoorId, person: str, at: datetime, day: date) -> None:
    door, logbook, dice = estate.doors[id], estate.logbook, estate.dice
    wrong = estate.wrong[id]
    for question, fault in new_faults((day - estate.looked[id]).days, dice).items():
        wrong.setdefault(question, fault)
    estate.looked[id] = day
    check_id = logbook.free_check_id(f"{at:%Y%m%d-%H%M%S}-{door.number}")
    turn = start_check(check_id, door, person, estate.checklist, at, terse=True)
    logbook.begin(f"sample/{person}", turn)
    for after, heard in ((3, all_answers(turn.check, wrong, dice)), (4, finish()), (5, finish())):
        if not turn.check.closed:
            turn = take_turn(turn.check, heard, at + timedelta(minutes=after))
            logbook.keep(f"sample/{person}", None, turn)
    if logbook.findings(check_id):
        _plan_repairs(estate, id, turn, day)
    # what stands in the way is taken away while somebody is there
    wrong.pop("clear", None)


def _plan_repairs(estate: _Estate, id: DoorId, turn: Turn, day: date) -> None:
    now = turn.check.started + timedelta(minutes=10)
    found = read_defects(estate.logbook, Targets(), door=estate.doors[id])
    for defect in found.at(id):
        if defect.state is not State.OPEN or defect.id in estate.planned:
            continue
        estate.planned.add(defect.id)
        days = estate.dice.expovariate(1 / _REPAIR_DAYS.get(defect.severity, 20.0))
        due = day + timedelta(days=1 + round(days))
        while due.weekday() > 4:
            due += timedelta(days=1)
        estate.repairs.setdefault(due, []).append((id, defect.id))
        act(estate.logbook, defect, DeedKind.ASSIGNED, SUPERVISOR, now, to=CONTRACTOR)


def _repair(estate: _Estate, day: date) -> None:
    for nth, (id, number) in enumerate(estate.repairs.pop(day, [])):
        defect = read_defects(estate.logbook, Targets(), door=estate.doors[id]).called(number)
        if defect is None or defect.state is not State.OPEN:
            continue
        at = _at(estate, day, time(8)) + timedelta(minutes=nth)
        try:
            act(
                estate.logbook,
                defect,
                DeedKind.MADE_GOOD,
                CONTRACTOR,
                at,
                "put right (sample data)",
                no_photo="sample data",
            )
        except LogbookError:
            continue
        part = defect.finding.question
        estate.wrong[id] = {q: f for q, f in estate.wrong[id].items() if q != part}
