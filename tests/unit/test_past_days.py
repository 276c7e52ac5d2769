"""Single cases of the past staying as it was: late checks, retired doors, changed settings."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import small_visit as visit

from doorround.domain.defects import ChangeKind
from doorround.domain.door import Use
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.due import DueState
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.schedule.plan import Plan
from doorround.domain.schedule.recurrence import Recurrence
from doorround.domain.summary import Period
from doorround.logbook.as_of import as_of
from doorround.logbook.defects import defects_as_of
from doorround.logbook.door_changes import retire_door
from doorround.logbook.due import door_statuses
from doorround.logbook.period import read_period
from doorround.logbook.settings_log import note_settings
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency, report

ZONE = "Europe/London"


def span(logbook: Logbook, first: date, last: date) -> Period:
    return read_period(logbook, Plan(), "x", first, last, lambda site: True, ())


def moves(of: Period) -> list[int]:
    return [of.changed(what) for what in ChangeKind]


@pytest.fixture
def logbook(tmp_path: Path) -> Any:
    with Logbook.open(tmp_path / "logbook.db", ZONE) as logbook:
        yield logbook


def signed(logbook: Logbook, id: str, day: int, hour: float, seals: Any = visit.SOUND) -> None:
    minute = day * 1440 + (hour - 8) * 60
    turn = visit.start(visit.door(use=Use.CORRIDOR), id=id, minute=minute)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", seals, minute)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, minute))


def test_a_check_that_a_telephone_sent_late_is_in_the_day_on_which_it_came(
    logbook: Logbook,
) -> None:
    """Signed on Monday at 15:00, come on Wednesday: of no daily before, and due from Monday."""
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
    logbook._clock = lambda: visit.at(2 * 1440)
    signed(logbook, "c1", 0, 15)
    counts = [
        len(span(logbook, date(2026, 3, day), date(2026, 3, day)).visits) for day in (2, 3, 4)
    ]
    assert counts == [0, 0, 1]
    assert [entry.kind for entry in logbook.entries()].count("came late") == 1
    tuesday, wednesday = (door_statuses(logbook, date(2026, 3, day))[0].checked for day in (3, 4))
    assert (tuesday, wednesday) == (None, date(2026, 3, 2))


def test_what_was_found_before_its_door_was_retired_still_counts_in_the_week(
    logbook: Logbook,
) -> None:
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
    signed(logbook, "c1", 0, 9, visit.PAINTED)
    retire_door(logbook, logbook.doors()[0], "bricked up", "Mona", visit.at(1440))
    week = span(logbook, date(2026, 3, 2), date(2026, 3, 8))
    assert (moves(week), week.defects) == ([1, 0, 0], [])


def test_a_late_check_moves_no_due_date_back(logbook: Logbook) -> None:
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
    signed(logbook, "c1", 2, 9)
    signed(logbook, "c2", 0, 15)
    assert [each.checked for each in door_statuses(logbook)] == [date(2026, 3, 4)]
    assert [each.checked for each in door_statuses(logbook, date(2026, 3, 4))] == [date(2026, 3, 4)]
    assert logbook.verify() == []


@pytest.mark.parametrize("hour, days_on", [(17.0, 0), (23.9, 0), (24.1, 1)])
def test_an_evening_belongs_to_its_own_day(logbook: Logbook, hour: float, days_on: int) -> None:
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
    signed(logbook, "c1", 0, hour)
    day = date(2026, 3, 2) + timedelta(days=days_on)
    assert len(span(logbook, day, day).visits) == 1


def test_a_changed_setting_changes_no_past_day(logbook: Logbook) -> None:
    """Quarterly from Thursday on; on Wednesday it was weekly, and stays so in what is said."""
    logbook.add_door(visit.door(use=Use.STAIR), "Mona", visit.at(-5))
    signed(logbook, "c1", -10, 9)
    weekly, quarterly = (
        replace(Plan(), intervals=Intervals((), {Use.STAIR: every}))
        for every in (Recurrence(1, "week"), Recurrence(3, "month"))
    )
    assert note_settings(logbook, weekly, visit.at(0)) and not note_settings(
        logbook, weekly, visit.at(1)
    )
    assert note_settings(logbook, quarterly, visit.at(3 * 1440))
    overdue = [
        sum(
            each.when is DueState.OVERDUE
            for each in span_of(logbook, quarterly, date(2026, 3, day)).due
        )
        for day in (4, 5)
    ]
    assert overdue == [1, 0]
    entry = logbook.entries()[-1]
    assert entry.body["from"]["uses"]["stair"]["every"] == "1 weeks"
    assert entry.body["to"]["uses"]["stair"]["every"] == "3 months"


def span_of(logbook: Logbook, plan: Plan, day: date) -> Period:
    return read_period(logbook, plan, "x", day, day, lambda site: True, ())


def test_what_corrects_the_past_is_told_with_it(logbook: Logbook) -> None:
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
    signed(logbook, "c0", 0, 9)
    # a year of silence: the clock looks far ahead, until somebody says that it is right
    logbook._clock = lambda: visit.at(365 * 1440)
    signed(logbook, "c1", 365, 8)
    day = date(2027, 3, 2)
    before = report(logbook, Plan(), Frequency.DAY, day, None).summary.text
    assert "Corrected since" not in before
    logbook._clock = lambda: visit.at(366 * 1440)
    logbook.trust_clock("Mona", visit.at(366 * 1440))
    after = report(logbook, Plan(), Frequency.DAY, day, None).summary.text
    assert "Corrected since: Mona, 3 March 2027: the clock was right" in after


def test_entries_made_up_to_an_instant_are_found_whatever_times_they_carry(
    logbook: Logbook,
) -> None:
    logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(0))
    logbook.add_person("Ines", "caretaker", visit.at(1440))
    logbook.add_person("Sam", "caretaker", visit.at(5))  # entered after Ines, with an earlier time
    assert [as_of(logbook, date(2026, 3, day)) for day in (1, 2, 3)] == [0, 1, 3]
    assert defects_as_of(logbook, Targets(), 0).all == {}
