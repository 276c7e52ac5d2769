"""A defect lives from the check that finds it until it is made good, and opens again when it is
seen again.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit
from followed_defects import DAY, HERE, check, grave, now, only

from doorround.domain.check import Stage
from doorround.domain.defects import DeedKind, State, by_urgency
from doorround.domain.findings import Verdict
from doorround.domain.judging.severity import Severity, Targets
from doorround.domain.values import CannotCheck, Value
from doorround.logbook.defect_deeds import act, call_fit, put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        for name, role in (("Sam", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, visit.at(-4))
        yield logbook


def test_a_finding_opens_a_defect_with_a_date_by_its_severity(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    defect = only(logbook)
    assert (defect.state, defect.severity, defect.first, defect.due) == (
        State.OPEN,
        Severity.SOON,
        date(2026, 3, 2),
        date(2026, 3, 9),
    )
    assert defect.finding.what == "seals painted over"
    assert (
        defect.late(date(2026, 3, 9)),
        defect.late(date(2026, 3, 12)),
        defect.age(date(2026, 3, 12)),
    ) == (0, 3, 10)


def test_it_is_given_to_somebody_and_made_good_with_evidence(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    act(
        logbook,
        only(logbook),
        DeedKind.ASSIGNED,
        "Mona",
        visit.at(DAY),
        to="Sam",
        by=date(2026, 3, 5),
    )
    assert (only(logbook).given_to, only(logbook).due) == ("Sam", date(2026, 3, 5))
    act(logbook, only(logbook), DeedKind.MEASURE, "Mona", visit.at(DAY + 1), "a watch is kept")
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(2 * DAY),
        "seals replaced",
        evidence="ab" * 32,
    )
    defect = only(logbook)
    assert (defect.state, defect.ended, defect.ended_by, defect.measures) == (
        State.MADE_GOOD,
        date(2026, 3, 4),
        "Sam",
        ("a watch is kept",),
    )
    assert defect.deeds[-1].evidence == "ab" * 32
    assert only(logbook, 1).state is State.OPEN, "as it stood the day before"
    check(logbook, 3, visit.SOUND)
    assert (only(logbook).state, only(logbook).ended) == (State.CLOSED, date(2026, 3, 4))
    with pytest.raises(LogbookError, match="closed already, by Sam"):
        act(logbook, only(logbook), DeedKind.NOTED, "Sam", visit.at(4 * DAY), "late")
    assert logbook.verify() == []


def test_seen_again_it_opens_again_under_its_old_number(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    first = only(logbook)
    act(logbook, first, DeedKind.MADE_GOOD, "Sam", visit.at(DAY), "scraped", no_photo="too dark")
    check(logbook, 7, visit.PAINTED)
    again = only(logbook)
    assert (again.id, again.state, again.reopened, again.first, again.due) == (
        first.id,
        State.OPEN,
        1,
        date(2026, 3, 2),
        date(2026, 3, 16),
    )
    check(logbook, 8, visit.SOUND)
    check(logbook, 9, visit.PAINTED)
    assert (only(logbook).reopened, only(logbook).times) == (2, 3)


def test_seen_again_while_open_it_keeps_its_date(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 5, visit.PAINTED)
    assert (only(logbook).due, only(logbook).times, only(logbook).last) == (
        date(2026, 3, 9),
        2,
        date(2026, 3, 7),
    )


@pytest.mark.parametrize("seals", [None, CannotCheck(reason="obstructed")])
def test_a_check_that_did_not_look_closes_nothing(logbook: Logbook, seals: Value | None) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 7, seals)
    assert only(logbook).state is State.OPEN


def test_a_check_that_looked_and_found_it_sound_closes_it(logbook: Logbook) -> None:
    check(logbook, 0, visit.PAINTED)
    check(logbook, 7, visit.SOUND)
    assert (only(logbook).state, only(logbook).ended_by) == (State.CLOSED, "Ines, seen sound")


def test_a_corrected_answer_opens_nothing(logbook: Logbook) -> None:
    turn = visit.start(visit.door())
    logbook.begin("chat", turn)
    for value in (visit.PAINTED, visit.SOUND):
        turn = visit.answer(turn.check, "seals", value, 1)
        logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, 2))
    assert now(logbook).all == {}


@pytest.mark.parametrize(
    ("verdict", "end", "found"),
    [
        (Verdict.DEFECT, None, 1),
        (Verdict.DEFECT, Stage.CANCELLED, 0),
        (Verdict.ACT_NOW, Stage.CANCELLED, 1),
    ],
)
def test_what_was_found_in_a_check_that_nobody_signed(
    logbook: Logbook,
    monkeypatch: pytest.MonkeyPatch,
    verdict: Verdict,
    end: Stage | None,
    found: int,
) -> None:
    grave(monkeypatch, verdict)
    check(logbook, 0, visit.PAINTED, end)
    assert len(now(logbook).open) == found


def test_put_right_on_the_spot_it_is_kept_and_closed(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    grave(monkeypatch, Verdict.DEFECT, made_good=True)
    check(logbook, 0, visit.PAINTED)
    assert (only(logbook).state, only(logbook).ended_by) == (State.CLOSED, "Ines, on the spot")


def test_a_door_to_be_acted_on_now_is_out_of_action_until_the_repair_was_looked_at(
    logbook: Logbook, monkeypatch: pytest.MonkeyPatch
) -> None:
    grave(monkeypatch, Verdict.ACT_NOW)
    check(logbook, 0, visit.PAINTED)
    assert now(logbook).out == {HERE: "seals painted over"}
    with pytest.raises(LogbookError, match="Make that good first"):
        call_fit(logbook, visit.door(), "looks fine", "Mona", visit.at(DAY), Targets())
    act(
        logbook,
        only(logbook),
        DeedKind.MADE_GOOD,
        "Sam",
        visit.at(DAY),
        "replaced",
        no_photo="too dark",
    )
    assert now(logbook).out == {HERE: "seals painted over: repaired, not looked at yet"}
    assert now(logbook, 0).out == {HERE: "seals painted over"}
    check(logbook, 2, visit.SOUND)
    assert now(logbook).out == {}


def test_somebody_puts_a_door_out_of_action_and_calls_it_fit_again(logbook: Logbook) -> None:
    put_out(logbook, visit.door(), "leaf taken off", "Mona", visit.at(0))
    assert now(logbook).out == {HERE: "leaf taken off"}
    call_fit(logbook, visit.door(), "hung again", "Mona", visit.at(DAY), Targets())
    assert now(logbook).out == {}
    with pytest.raises(LogbookError, match="is not out of action"):
        call_fit(logbook, visit.door(), "again", "Mona", visit.at(DAY), Targets())


def test_of_one_door_only_its_own(logbook: Logbook) -> None:
    logbook.add_door(visit.door("15"), "Mona", visit.at(-5))
    check(logbook, 0, visit.PAINTED)
    check(logbook, 1, visit.PAINTED, door=visit.door("15"))
    assert [
        each.door[2] for each in read_defects(logbook, Targets(), door=visit.door("15")).open
    ] == ["15"]
    assert [each.door[2] for each in by_urgency(now(logbook).open)] == ["14", "15"]
