"""What the questions about rounds are asked of, out of a real logbook: repairs that did not hold,
checks that came in late, a clock that ran back.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest
import small_visit as visit
from test_repair_visit import Look
from visits import CORRIDOR, NOON

from doorround.domain.defects import DeedKind
from doorround.domain.door import Use
from doorround.domain.judging.plausibility import both_faces_at_once
from doorround.domain.judging.plausible_rounds import round_questions
from doorround.domain.judging.severity import Targets
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.round_history import clock_doubts, followed_faults
from doorround.logbook.signed_checks import signed_checks
from doorround.logbook.store import Logbook

DAY = 1440


class Clock:
    """The computer's clock, set by hand."""

    minute: float = 0

    def __call__(self) -> datetime:
        return visit.at(self.minute)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def logbook(tmp_path: Path, clock: Clock) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London", clock) as logbook:
        logbook.add_person("Sam", "caretaker", visit.at(-9))
        logbook.add_door(visit.door(use=Use.STAIR, floor="second floor"), "Mona", visit.at(-5))
        yield logbook


def check(logbook: Logbook, clock: Clock, minute: float, came: float, seals: visit.Value) -> None:
    """A check at one minute that came in at another."""
    clock.minute = came
    door = visit.door(use=Use.STAIR, floor="second floor")
    visit.keep_check(logbook, door, logbook.free_check_id("c"), minute, seals)


def mend(logbook: Logbook, clock: Clock, minute: float) -> None:
    clock.minute = minute
    [defect] = read_defects(logbook, Targets()).open
    act(
        logbook,
        defect,
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(minute),
        "strip replaced",
        no_photo="it is dark there",
    )


def asked(logbook: Logbook) -> list[str]:
    found = round_questions(signed_checks(logbook), followed_faults(logbook), clock_doubts(logbook))
    return [each.question for each in found]


def test_a_fault_that_two_repairs_did_not_mend_is_asked_about(
    logbook: Logbook, clock: Clock
) -> None:
    check(logbook, clock, 0, 0, visit.PAINTED)
    for day in (1, 4):
        mend(logbook, clock, day * DAY)
        check(logbook, clock, (day + 2) * DAY, (day + 2) * DAY, visit.PAINTED)
    assert asked(logbook) == [
        "Door 14, seals painted over: repaired 2 times (Sam 2×), found again after 2 and 2 days."
        " Is the cause known?"
    ]


def test_a_close_that_was_taken_back_is_no_return(logbook: Logbook, clock: Clock) -> None:
    check(logbook, clock, 0, 0, visit.PAINTED)
    for day in (1, 2, 3):
        mend(logbook, clock, day * DAY)
        [defect] = read_defects(logbook, Targets()).all.values()
        act(logbook, defect, DeedKind.REOPENED, "Sam", visit.at(day * DAY + 5), "the wrong door")
    assert followed_faults(logbook)[0].returned == () and asked(logbook) == []


def test_a_check_that_came_in_three_days_later_is_asked_about(
    logbook: Logbook, clock: Clock
) -> None:
    check(logbook, clock, 3 * DAY, 3 * DAY, visit.SOUND)
    check(logbook, clock, 0, 3 * DAY, visit.SOUND)
    [first, late] = signed_checks(logbook)
    assert (first.days_late, late.days_late) == (0, 3)
    assert (late.floor, late.day) == ("second floor", date(2026, 3, 2))
    assert asked(logbook) == [
        "The check of door 14 on 2 March 2026 came in 3 days later. Was the telephone without a"
        " signal, Ines?"
    ]


def test_checks_signed_by_a_clock_that_was_set_back_are_asked_about(
    logbook: Logbook, clock: Clock
) -> None:
    check(logbook, clock, 3 * DAY, 3 * DAY, visit.SOUND)
    check(logbook, clock, DAY, DAY, visit.SOUND)
    [doubt] = clock_doubts(logbook)
    assert doubt.checks == 1
    assert any(
        "the clock runs behind the last entry; 1 check was signed" in each
        for each in asked(logbook)
    )


def test_answers_know_the_message_that_gave_them(tmp_path: Path) -> None:
    """One typed message covers both faces of the frame, another only the leaf."""
    with Logbook.open(tmp_path / "typed.db", "Europe/London") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        logbook.add_door(CORRIDOR, "Mona", NOON)
        typing = Look(logbook, tmp_path, "Robin")
        typing.type(
            "12",
            "all clear",
            "frame undamaged and firm, other side frame undamaged and firm",
            "yes",
        )
        typing.to_the_summary()
        typing.type("finish check", "finish check")
        [checked] = signed_checks(logbook)
    by = {each.question: each.message for each in checked.answers}
    assert by["frame.here"] == by["frame.beyond"] > by["clear"] > 0
    assert by["leaf.here"] != by["leaf.beyond"]
    assert both_faces_at_once(checked) == []
