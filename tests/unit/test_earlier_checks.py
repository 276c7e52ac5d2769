"""The last check of a door before doorround: due from that day, and how it is taken back."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.domain.door import Door, Use
from doorround.domain.schedule.due import DueState, due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.logbook.door_changes import (
    enter_last_check,
    renumber_door,
    withdraw_last_check,
)
from doorround.logbook.due import door_statuses, refuse_access
from doorround.logbook.errors import LogbookError
from doorround.logbook.period import visits_after
from doorround.logbook.store import Logbook


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path, "Europe/London") as logbook:
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook
        assert logbook.verify() == []


def check(
    logbook: Logbook, door: Door, minute: float, id: str, value: visit.Value = visit.PAINTED
) -> None:
    visit.keep_check(logbook, door, id, minute, value)


# ---- checked before doorround --------------------------------------------------------------------


def test_a_door_falls_due_from_its_last_check_before_doorround(logbook: Logbook) -> None:
    door, now = logbook.door("14"), visit.at(0)
    assert enter_last_check(logbook, door, date(2026, 2, 27), "by book", "Mona", now)
    [status] = door_statuses(logbook)
    assert (status.checked, status.by) == (date(2026, 2, 27), None)
    [due] = due_list([status], Intervals(), date(2026, 3, 2))
    assert (due.on, due.when) == (date(2026, 3, 6), DueState.THIS_WEEK)
    assert visits_after(logbook, 0, logbook.last_seq(), lambda site: True) == []
    assert logbook.first_visit(door)
    # what was not known then does not stand in what is said of then
    assert (
        door_statuses(logbook, date(2026, 3, 1)) == []
        or door_statuses(logbook, date(2026, 3, 1))[0].checked is None
    )
    assert not enter_last_check(logbook, door, date(2026, 2, 27), "by book", "Mona", now)
    assert enter_last_check(
        logbook, door, date(2026, 2, 20), "by book, read again", "Mona", now, by="Old Tom"
    )
    assert [(each.checked, each.by) for each in door_statuses(logbook)] == [
        (date(2026, 2, 20), "Old Tom")
    ]


@pytest.mark.parametrize(
    "on", [date(2026, 3, 29), date(2026, 10, 25), date(2026, 1, 1), date(2024, 2, 29)]
)
def test_the_day_of_an_earlier_check_is_that_day_also_when_clocks_change(
    logbook: Logbook, on: date
) -> None:
    enter_last_check(
        logbook, logbook.door("14"), on, "by book", "Mona", datetime(2026, 11, 1, tzinfo=UTC)
    )
    assert door_statuses(logbook)[0].checked == on


def test_a_check_with_doorround_counts_and_nothing_goes_before_it(logbook: Logbook) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    with pytest.raises(LogbookError, match="checked with doorround on 2026-03-02"):
        enter_last_check(
            logbook, logbook.door("14"), date(2026, 2, 27), "by book", "Mona", visit.at(10)
        )
    with pytest.raises(LogbookError, match="still to come"):
        enter_last_check(
            logbook, logbook.door("14"), date(2026, 3, 3), "by book", "Mona", visit.at(10)
        )


def test_an_earlier_check_that_was_wrong_is_taken_back(logbook: Logbook) -> None:
    door = logbook.door("14")
    enter_last_check(logbook, door, date(2026, 2, 20), "by book", "Mona", visit.at(0))
    enter_last_check(logbook, door, date(2026, 2, 27), "by book", "Mona", visit.at(1))
    refuse_access(logbook, door, "nobody in", "Ines", visit.at(2))
    withdraw_last_check(logbook, door, "wrong line", "Mona", visit.at(3))
    assert door_statuses(logbook)[0].checked == date(2026, 2, 20)
    withdraw_last_check(logbook, door, "wrong line", "Mona", visit.at(4))
    assert (door_statuses(logbook)[0].checked, door_statuses(logbook)[0].tries) == (None, 1)
    with pytest.raises(LogbookError, match="No check before doorround"):
        withdraw_last_check(logbook, door, "wrong line", "Mona", visit.at(5))


def test_the_names_of_doors_are_held_against_the_entries(logbook: Logbook, path: Path) -> None:
    renumber_door(logbook, logbook.door("14"), "15", "x", "Mona", visit.at(1))
    raw(path, "UPDATE door_names SET until = until + 1 WHERE until IS NOT NULL")
    assert any('"door_names"' in fault.what for fault in logbook.verify())
    raw(path, "UPDATE door_names SET until = until - 1 WHERE until IS NOT NULL")


def test_days_far_back_stay_days(logbook: Logbook) -> None:
    enter_last_check(logbook, logbook.door("14"), date(2000, 1, 1), "by book", "Mona", visit.at(0))
    assert (
        due_list(door_statuses(logbook), Intervals(), date(2026, 3, 2))[0].days_late
        == (date(2026, 3, 2) - date(2000, 1, 1) - timedelta(days=7)).days
    )
