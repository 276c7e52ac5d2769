"""A real building from its first day: first checks spread, people without a messenger, ground given
to people.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
import small_visit as visit

from doorround.domain.door import Use
from doorround.domain.people import Right, Role
from doorround.domain.schedule.due import DueState, due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.schedule.rota import Area
from doorround.domain.schedule.spread import spread_first_checks
from doorround.logbook.due import door_statuses
from doorround.logbook.errors import LogbookError, PersonExistsError
from doorround.logbook.first_checks import plan_first_checks
from doorround.logbook.reminder_log import take_days_off
from doorround.logbook.rota import add_person, give_area, rota_of
from doorround.logbook.store import Logbook

MONDAY = date(2026, 3, 2)
WORKING = [day for day in (MONDAY + timedelta(days=nth) for nth in range(90)) if day.weekday() < 5]


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Ines", "caretaker"), ("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-9))
        for nth in range(40):
            use = Use.CORRIDOR if nth < 10 else Use.STORE
            floor = f"floor {nth % 4}"
            logbook.add_door(visit.door(str(nth), use=use, floor=floor), "Mona", visit.at(-5))
        yield logbook


def test_a_register_brought_in_at_once_is_not_late_all_on_one_day(logbook: Logbook) -> None:
    """Ten corridor doors, weekly: two a day in the first week; thirty stores over their month."""
    planned = spread_first_checks(door_statuses(logbook), Intervals(), WORKING)
    days = Counter(day for door, day in planned if door.use == Use.CORRIDOR)
    assert [days[MONDAY + timedelta(days=nth)] for nth in range(5)] == [2, 2, 2, 2, 2]
    stores = Counter(day for door, day in planned if door.use == Use.STORE)
    assert sum(stores.values()) == 30 and max(stores.values()) <= 2
    assert max(stores) <= MONDAY + timedelta(days=31)
    plan_first_checks(logbook, planned, "Mona", visit.at(0))
    due = due_list(door_statuses(logbook), Intervals(), MONDAY)
    assert sum(each.when is DueState.TODAY for each in due) == days[MONDAY] + stores[MONDAY]
    assert all(each.when is not DueState.OVERDUE for each in due)
    assert logbook.verify() == []


def test_a_spread_day_that_passes_is_late(logbook: Logbook) -> None:
    plan_first_checks(logbook, [(door_statuses(logbook)[0], MONDAY)], "Mona", visit.at(0))
    late = due_list(door_statuses(logbook)[:1], Intervals(), MONDAY + timedelta(days=3))
    assert [each.days_late for each in late] == [3]


def test_somebody_without_a_messenger_is_known_and_a_contractor_checks_nothing(
    logbook: Logbook,
) -> None:
    kim = add_person(logbook, "Kim", Role.CARETAKER, ("Alder House",), "Mona", visit.at(1))
    jo = add_person(logbook, "Hale Joinery: Jo", Role.CONTRACTOR, (), "Mona", visit.at(1))
    assert kim.may(Right.CHECK) and kim.sites == ("Alder House",)
    assert not jo.may(Right.CHECK) and not jo.may(Right.READ)
    with pytest.raises(PersonExistsError):
        add_person(logbook, "kim", Role.AUDITOR, (), "Mona", visit.at(2))
    with pytest.raises(LogbookError, match="may not check doors"):
        give_area(logbook, jo.name, Area(("floor 1",)), "Mona", visit.at(2))


def test_doors_go_to_whoever_was_given_their_ground(logbook: Logbook) -> None:
    give_area(logbook, "Sam", Area(("floor 1", "floor 2")), "Mona", visit.at(1))
    give_area(logbook, "Ines", Area(buildings=("East",), uses=("store",)), "Mona", visit.at(1))
    rota = rota_of(logbook)
    doors = {each.number: each for each in door_statuses(logbook)}
    minders = {number: rota.minder(door, MONDAY) for number, door in doors.items()}
    names = {number: minder and minder.name for number, minder in minders.items()}
    assert (names["1"], names["2"], names["12"]) == ("Sam", "Sam", "Ines")
    take_days_off(logbook, "Sam", MONDAY, MONDAY, "Mona", visit.at(2))
    stands_in = rota_of(logbook).minder(doors["1"], MONDAY)
    assert stands_in is not None and stands_in.name == "Mona"
    give_area(logbook, "Sam", Area(), "Mona", visit.at(3))
    assert not any(area.covers(doors["1"]) for area in [rota_of(logbook).areas["Sam"]])
