"""A clock that runs back, or far ahead: an entry of its own, told to who signs and who supervises,
and no due date.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from hypothesis import given
from hypothesis import strategies as st

from doorround.channels.messenger.defect_commands import DefectCommands
from doorround.domain.clock import MAX_SILENCE, SLACK, why_doubted
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.query import read_query
from doorround.domain.schedule.plan import Plan
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import read_defects
from doorround.logbook.due import door_statuses
from doorround.logbook.listing import show_lines
from doorround.logbook.people import People
from doorround.logbook.reminder_log import LoggedReminder
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency, report

DAY = 1440
TWO_YEARS = 730 * DAY


class Clock:
    """The computer's clock, set by hand. minute: past the first morning."""

    minute: float = 0

    def __call__(self) -> datetime:
        return visit.at(self.minute)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def logbook(tmp_path: Path, clock: Clock) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London", clock) as logbook:
        logbook.add_person("Mona", "supervisor", visit.at(-4))
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-3))
        yield logbook


@pytest.fixture
def check(logbook: Logbook, clock: Clock) -> Callable[..., list[str]]:
    """A check of door 14 by that clock; what is said at the signature."""

    def signed(minute: float, seals: visit.Value = visit.SOUND) -> list[str]:
        clock.minute = minute
        door = visit.door(use=Use.CORRIDOR)
        turn = visit.start(door, id=logbook.free_check_id("c"), minute=minute)
        logbook.begin("chat", turn)
        for question, value in (("hinges.count", visit.THREE), ("seals", seals)):
            turn = visit.answer(turn.check, question, value, minute)
            logbook.keep("chat", None, turn)
        return [
            prompt.text for prompt in logbook.keep("chat", None, visit.close(turn.check, minute))
        ]

    return signed


def checked(logbook: Logbook) -> date | None:
    assert logbook.verify() == []
    [status] = door_statuses(logbook)
    return status.checked


def kinds(logbook: Logbook) -> list[str]:
    return [entry.kind for entry in logbook.entries() if entry.kind.startswith("clock")]


def test_a_clock_that_goes_right_is_not_in_doubt(
    logbook: Logbook, check: Callable[..., list[str]]
) -> None:
    for day in (0, 7, 100, 199):
        assert check(day * DAY) == ["Done."]
    assert kinds(logbook) == [] and checked(logbook) == date(2026, 9, 17)


@pytest.mark.parametrize(("away", "why"), [(TWO_YEARS, "far ahead"), (-2 * DAY, "runs behind")])
def test_a_check_signed_by_a_wrong_clock_moves_no_due_date(
    logbook: Logbook, check: Callable[..., list[str]], away: int, why: str
) -> None:
    check(7 * DAY)
    said = check(7 * DAY + away)
    assert why in said[-1] and "moves no due date" in said[-1]
    assert kinds(logbook) == ["clock doubted"] and checked(logbook) == date(2026, 3, 9)
    assert "Clock in doubt: the clock" in " ".join(" ".join(show_lines(logbook)).split())
    day = visit.at(7 * DAY + away).date()
    told = report(logbook, Plan(), Frequency.DAY, day, None, LoggedReminder(0, visit.at(0))).summary
    assert (
        f"{why} " in told.text
        and "1 check not counted" in told.text
        and "the clock is right" in told.taps
    )
    check(8 * DAY)
    assert kinds(logbook) == ["clock doubted", "clock trusted"] and checked(logbook) == date(
        2026, 3, 10
    )
    assert doubt_now(logbook) is None


def test_a_defect_found_by_a_clock_ahead_is_due_by_the_time_before(
    logbook: Logbook, check: Callable[..., list[str]]
) -> None:
    check(0)
    check(TWO_YEARS, visit.PAINTED)
    [defect] = read_defects(logbook, Targets()).open
    assert (defect.first, defect.due) == (date(2026, 3, 2), date(2026, 3, 9))


def test_a_supervisor_says_that_the_clock_is_right_after_a_long_silence(
    logbook: Logbook, check: Callable[..., list[str]], clock: Clock
) -> None:
    check(0)
    check(150 * DAY)
    assert checked(logbook) == date(2026, 3, 2)
    clock.minute = 151 * DAY
    asked = read_query("The clock is right.")
    assert asked is not None
    settling = DefectCommands(logbook, read_defects(logbook, Targets()))
    assert (
        settling.settle(People(logbook).person("Mona"), asked, clock())
        .say[0]
        .text.startswith("Entered.")
    )
    assert checked(logbook) == date(2026, 7, 30)
    assert check(152 * DAY) == ["Done."]


def test_a_first_check_by_a_clock_ahead_stops_counting_once_the_clock_is_called_right(
    logbook: Logbook, check: Callable[..., list[str]], clock: Clock
) -> None:
    check(90 * DAY)
    check(7 * DAY)
    assert kinds(logbook) == ["clock doubted"] and checked(logbook) == date(2026, 5, 31)
    clock.minute = 8 * DAY
    assert logbook.trust_clock("Mona", clock())
    assert checked(logbook) == date(2026, 3, 9)
    assert not logbook.trust_clock("Mona", clock())


def test_a_message_of_last_night_is_no_doubt(logbook: Logbook, clock: Clock) -> None:
    clock.minute = 900
    logbook.note_alone("this morning", "Ines", visit.at(899))
    logbook.note_alone("sent last night", "Ines", visit.at(10))
    assert kinds(logbook) == []
    logbook.note_alone("from tomorrow", "Ines", visit.at(900 + DAY))
    assert kinds(logbook) == ["clock doubted"]


@given(st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6), st.integers(-(10**6), 10**6))
def test_what_is_trusted_lies_between_the_last_entry_and_the_clock(
    at: int, wall: int, anchor: int
) -> None:
    times = visit.at(at), visit.at(at), visit.at(wall), visit.at(anchor)
    if why_doubted(*times) is None:
        assert -SLACK <= visit.at(wall) - visit.at(anchor) <= MAX_SILENCE
        assert visit.at(at) - visit.at(wall) <= SLACK
    if (
        timedelta(0) <= visit.at(wall) - visit.at(anchor) <= MAX_SILENCE
        and wall - 7 * DAY < at <= wall
    ):
        assert why_doubted(*times) is None
