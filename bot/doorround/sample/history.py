"""Some years of an invented estate, day by day, through the real talk, rules and logbook.

Two patterns are planted, so that `logbook questions` has something to report: one door's closer
fails again some weeks after each repair, and one caretaker never finds a fault.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from doorround.dialogue.turn import start_check
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door, Use
from doorround.domain.schedule.due import DoorId, DueState, due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.english.floors import storey
from doorround.logbook.due import doors_due, refuse_access
from doorround.logbook.store import Logbook
from doorround.sample.answers import new_faults
from doorround.sample.estate import CARETAKERS, CONTRACTOR, HASTY, SUPERVISOR, sample_doors
from doorround.sample.repairs import STUBBORN, Repairs
from doorround.sample.visits import Visitor

MARK = "Sample data: an invented estate. No door, person or fault in it is real."
_ROUND_FIRST = time(9, 0)
_REFUSED = 0.3
"""Share of visits at which nobody opens a flat."""
_DONE = 0.92
"""Share of due doors checked on a working day."""
_OFTEN = (Use.STAIR, Use.CORRIDOR, Use.LOBBY)
"""Doors that are checked several times a year."""


@dataclass
class _Estate:
    logbook: Logbook
    checklist: Checklist
    dice: Random
    repairs: Repairs
    doors: dict[DoorId, Door] = field(default_factory=dict)
    wrong: dict[DoorId, dict[str, str]] = field(default_factory=dict)
    looked: dict[DoorId, date] = field(default_factory=dict)
    stubborn: DoorId | None = None


def live_through(
    logbook: Logbook,
    checklist: Checklist,
    doors: int,
    first: date,
    last: date,
    seed: int,
    after_day: Callable[[date], None] = lambda day: None,
) -> None:
    """Fill a new logbook with an invented estate and its history. first, last: local days.
    after_day: called after each day.
    """
    dice = Random(seed)
    estate = _Estate(logbook, checklist, dice, Repairs(logbook, checklist, dice))
    _furnish(estate, doors, first)
    day = first
    while day <= last:
        if day.weekday() < 5:
            with logbook.writing():
                estate.repairs.carry_out(day, estate.doors, estate.wrong, estate.stubborn)
                _round(estate, day)
                estate.repairs.look(day, estate.doors, estate.wrong)
        after_day(day)
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
            if estate.stubborn is None and door.use in _OFTEN:
                estate.stubborn, estate.wrong[id] = id, dict([STUBBORN])


def _at(estate: _Estate, day: date, moment: time) -> datetime:
    return datetime.combine(day, moment, ZoneInfo(estate.logbook.zone)).astimezone(UTC)


def _round(estate: _Estate, day: date) -> None:
    """Each caretaker walks a building, checking most of what is due, until the day is over."""
    dice, now = estate.dice, _at(estate, day, _ROUND_FIRST)
    due = due_list(doors_due(estate.logbook, Intervals(), day, now), Intervals(), day)
    walked = [each.door for each in due if each.when is not DueState.THIS_WEEK]
    at_once = max(4, len(estate.doors) // 12)
    rounds = defaultdict[str, list[DoorId]](list)
    for door in walked[: at_once * len(CARETAKERS)]:
        if dice.random() < _DONE:
            rounds[_who(door.building, day)].append(door.id)
    for person, ids in rounds.items():
        at = now + timedelta(minutes=dice.randrange(40), seconds=dice.randrange(60))
        _walk(estate, person, ids, at, day)


def _walk(estate: _Estate, person: str, ids: list[DoorId], at: datetime, day: date) -> None:
    visitor = Visitor(estate.dice)
    before = None
    for id in ids:
        door = estate.doors[id]
        at += visitor.walk(abs(storey(door.floor) - storey((before or door).floor)))
        before = door
        if door.use is Use.FLAT_ENTRANCE and estate.dice.random() < _REFUSED:
            refuse_access(estate.logbook, door, "nobody in", person, at)
        else:
            at = _check(estate, id, person, visitor, at, day)


def _who(building: str, day: date) -> str:
    """Who walks a building in a week: each caretaker in turn."""
    return CARETAKERS[(sum(building.encode()) + day.isocalendar().week) % len(CARETAKERS)]


def _check(
    estate: _Estate, id: DoorId, person: str, visitor: Visitor, at: datetime, day: date
) -> datetime:
    """Check one door. Returns the finishing time."""
    door, logbook = estate.doors[id], estate.logbook
    wrong = estate.wrong[id]
    for question, fault in new_faults((day - estate.looked[id]).days, estate.dice).items():
        wrong.setdefault(question, fault)
    estate.looked[id] = day
    check_id = logbook.free_check_id(f"{at:%Y%m%d-%H%M%S}-{door.number}")
    begun = start_check(check_id, door, person, estate.checklist, at, terse=True)
    done = visitor.visit(logbook, begun, {} if person == HASTY else wrong).enter[-1].at
    estate.repairs.plan(door, id, done, day)
    # obstructions are removed during the visit
    wrong.pop("clear", None)
    return done
