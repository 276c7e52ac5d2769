"""What is due on a day: overdue, today, this week; days are the site's own, on both days on which
clocks change.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.domain.door import Use
from doorround.domain.entries import EntryKind
from doorround.domain.schedule.due import DoorStatus, DueState, due_list, next_due
from doorround.domain.schedule.intervals import AppliedRule, Intervals
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.values import CannotCheck
from doorround.logbook.due import door_statuses, doors_due, next_door, refuse_access
from doorround.logbook.local_days import midnight_after
from doorround.logbook.store import Logbook

WEDNESDAY = date(2026, 3, 4)


def status(
    number: str, checked: date | None, use: str = "corridor in constant use", **more: object
) -> DoorStatus:
    fields = {
        "site": "S",
        "building": "B",
        "floor": "",
        "place": "",
        "added": date(2026, 1, 1),
        **more,
    }
    return DoorStatus(number=number, use=use, checked=checked, **fields)  # type: ignore[arg-type]


def test_overdue_and_today_are_one_walk_and_the_rest_of_the_week_another() -> None:
    doors = [
        status("1", WEDNESDAY - timedelta(days=3)),  # due on Sunday
        status("2", WEDNESDAY - timedelta(days=7)),
        status("3", WEDNESDAY - timedelta(days=9)),
        status("4", WEDNESDAY - timedelta(days=2)),  # due next Monday
        status("5", None, added=date(2026, 3, 1)),
    ]
    due = due_list(doors, Intervals(), WEDNESDAY)
    assert [(each.door.number, each.when, each.days_late) for each in due] == [
        ("2", DueState.TODAY, 0),
        ("3", DueState.OVERDUE, 2),
        ("5", DueState.OVERDUE, 3),
        ("1", DueState.THIS_WEEK, 0),
    ]
    assert due[2].reason.why == "never checked"


def test_a_door_with_an_interval_of_its_own_is_not_reckoned_with_others_like_it() -> None:
    checked = WEDNESDAY - timedelta(days=3)
    intervals = Intervals(doors={"2": Recurrence(1, "day")})
    for order in (("1", "2"), ("2", "1")):
        due = due_list([status(number, checked) for number in order], intervals, WEDNESDAY)
        assert {each.door.number: each.when for each in due} == {
            "1": DueState.THIS_WEEK,
            "2": DueState.OVERDUE,
        }


def test_next_follows_the_walk_and_ends_with_it() -> None:
    due = due_list([status(n, None) for n in ("2", "4", "9")], Intervals(), WEDNESDAY)
    found = [next_due(due, ("S", "B", number)) for number in ("2", "4", "9", "7")]
    assert [each and each.door.number for each in found] == ["4", "9", None, "2"]
    assert next_due(due, ("S", "other", "2")) is None


def test_a_day_of_the_clock_change_has_23_or_25_hours() -> None:
    def hours(day: date) -> float:
        return (
            midnight_after(day, "Europe/London")
            - midnight_after(day - timedelta(days=1), "Europe/London")
        ) / (timedelta(hours=1))

    assert (hours(date(2026, 3, 29)), hours(date(2026, 10, 25)), hours(date(2026, 10, 26))) == (
        23,
        25,
        24,
    )


# ---- out of a real logbook


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path, "Europe/London") as logbook:
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook


def check(
    logbook: Logbook, at: datetime, value: visit.Value = visit.SOUND, number: str = "14"
) -> None:
    minute = (at - visit.MORNING) / timedelta(minutes=1)
    door = visit.door(number, use=Use.CORRIDOR)
    visit.keep_check(logbook, door, f"c{at.isoformat()}", minute, value)


@pytest.mark.parametrize(
    ("signed", "day"),
    [
        (datetime(2026, 3, 28, 23, 59, tzinfo=UTC), date(2026, 3, 28)),  # winter time still
        (datetime(2026, 3, 29, 23, 0, tzinfo=UTC), date(2026, 3, 30)),  # 00:00 in summer time
        (datetime(2026, 10, 24, 22, 59, tzinfo=UTC), date(2026, 10, 24)),
        (datetime(2026, 10, 24, 23, 0, tzinfo=UTC), date(2026, 10, 25)),
        (datetime(2026, 10, 25, 23, 59, tzinfo=UTC), date(2026, 10, 25)),  # the long day
        (datetime(2026, 10, 26, 0, 0, tzinfo=UTC), date(2026, 10, 26)),
    ],
)
def test_a_check_belongs_to_the_local_day_on_which_it_was_signed(
    logbook: Logbook, signed: datetime, day: date
) -> None:
    check(logbook, signed)
    [door] = door_statuses(logbook)
    assert door.checked == day
    assert due_list([door], Intervals(), day + timedelta(days=7))[0].when is DueState.TODAY
    assert door_statuses(logbook, day) == [door]
    assert door_statuses(logbook, day - timedelta(days=1))[0].checked is None


def test_a_visit_at_which_nothing_was_seen_is_an_attempt_and_moves_nothing(
    logbook: Logbook,
) -> None:
    check(logbook, visit.at(0))
    check(logbook, visit.at(1440), CannotCheck(reason="no access"))
    refuse_access(logbook, visit.door(), "nobody in", "Ines", visit.at(2880))
    [door] = door_statuses(logbook)
    assert (door.checked, door.tried, door.tries) == (date(2026, 3, 2), date(2026, 3, 4), 2)
    assert door_statuses(logbook, date(2026, 3, 3))[0].tries == 1
    assert logbook.entries()[-1].kind is EntryKind.ACCESS_REFUSED
    check(logbook, visit.at(4320))
    [door] = door_statuses(logbook)
    assert (door.checked, door.tried, door.tries) == (date(2026, 3, 5), None, 0)


def test_what_the_due_list_reads_is_what_the_entries_say(logbook: Logbook, path: Path) -> None:
    check(logbook, visit.at(0))
    check(logbook, visit.at(10), CannotCheck(reason="no access"))
    logbook.change_door(visit.door(use=Use.STAIR, floor="2"), "Mona", visit.at(20))
    assert logbook.verify() == []
    raw(path, "UPDATE door_status SET checked = '2027-01-01T00:00:00.000000Z'")
    assert [fault.what for fault in logbook.verify()] == [
        'the table "door_status" of the due list does not say what the entries say'
    ]
    raw(path, "DELETE FROM visits")
    assert any('"visits"' in fault.what for fault in logbook.verify())


@pytest.mark.parametrize(
    "day",
    [date(2026, 3, 2), date(2026, 3, 7), date(2026, 3, 9), date(2026, 4, 2), date(2027, 3, 2)],
)
@pytest.mark.parametrize(
    "intervals",
    [
        Intervals(),
        Intervals(
            (AppliedRule.FLATS,), {Use.STAIR: Recurrence(3, "day")}, {"16": Recurrence(1, "day")}
        ),
    ],
)
def test_reading_only_what_may_be_due_leaves_nothing_out(
    logbook: Logbook, day: date, intervals: Intervals
) -> None:
    for nth, use in enumerate([*Use, None]):
        logbook.add_door(visit.door(str(15 + nth), use=use), "Mona", visit.at(-5))
        if nth % 5:
            check(logbook, visit.at(nth * 200), number=str(15 + nth))
    found = due_list(doors_due(logbook, intervals, day, visit.at(0)), intervals, day)
    assert found == due_list(door_statuses(logbook, day), intervals, day)
    assert found


def test_next_door_is_the_next_one_due(logbook: Logbook) -> None:
    for number in ("15", "16", "20"):
        logbook.add_door(visit.door(number, use=Use.CORRIDOR), "Mona", visit.at(-5))
    check(logbook, visit.at(0))
    check(logbook, visit.at(1), number="15")
    following = next_door(logbook, Intervals(), visit.door("15"), visit.at(2))
    assert following is not None and following.number == "16"
    assert next_door(logbook, Intervals(), visit.door("20"), visit.at(2)) is None


def test_an_older_logbook_gets_its_due_list_when_it_is_opened(
    logbook: Logbook, path: Path, tmp_path: Path
) -> None:
    check(logbook, visit.at(0))
    check(logbook, visit.at(10), CannotCheck(reason="no access"))
    before = door_statuses(logbook)
    old = visit.older_file(path, tmp_path / "old.db", "due_lists")
    with Logbook.open(old, "Europe/London") as again:
        assert door_statuses(again) == before
        assert again.verify() == []
