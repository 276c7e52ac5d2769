"""What is true now, read from entries alone: doors, people, checks, answers, findings."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Stage
from doorround.domain.door import Door, Glazing, Use
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Verdict
from doorround.logbook.errors import (
    DoorExistsError,
    LogbookError,
    PersonExistsError,
    UnknownCheckError,
    UnknownDoorError,
)
from doorround.logbook.store import Logbook


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path) as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        yield logbook


def keep(logbook: Logbook, turn: Turn) -> Turn:
    logbook.keep("chat", None, turn)
    return turn


def begin(
    logbook: Logbook,
    id: str = "c1",
    minute: float = 0,
    door: Door | None = None,
    person: str = "Ines",
) -> Turn:
    turn = visit.start(door or visit.door(), id=id, minute=minute, person=person)
    logbook.begin("chat", turn)
    return turn


def signed(
    logbook: Logbook, id: str, minute: float = 0, door: Door | None = None, person: str = "Ines"
) -> None:
    keep(logbook, visit.close(begin(logbook, id, minute, door, person).check, minute + 1))


# ---- doors


def test_a_door_is_as_last_described(logbook: Logbook) -> None:
    logbook.change_door(visit.door(use=Use.STAIR), "Mona", visit.at(1))
    logbook.change_door(visit.door(use=Use.STAIR, hinges=4), "Mona", visit.at(2))
    assert logbook.doors() == [visit.door(use=Use.STAIR, hinges=4)]
    assert logbook.door("14") == visit.door(use=Use.STAIR, hinges=4)


def test_a_change_says_what_changed(logbook: Logbook) -> None:
    logbook.change_door(visit.door(use=Use.STAIR, hinges=4), "Mona", visit.at(1))
    assert logbook.entries()[-1].body["changed"] == ["use", "hinges"]


def test_a_door_described_as_it_stands_makes_no_entry(logbook: Logbook) -> None:
    logbook.change_door(visit.door(), "Mona", visit.at(1))
    assert len(logbook.entries()) == 1


def test_a_number_is_given_once_in_a_building(logbook: Logbook) -> None:
    with pytest.raises(
        DoorExistsError, match=r"Door 14 \(Alder House, East\) is in the register already"
    ):
        logbook.add_door(visit.door(), "Mona", visit.at(1))


def test_two_buildings_may_use_the_same_number(logbook: Logbook) -> None:
    logbook.add_door(visit.door(building="West"), "Mona", visit.at(1))
    assert [door.building for door in logbook.doors()] == ["East", "West"]
    assert logbook.door("14", building="West").building == "West"
    with pytest.raises(
        UnknownDoorError, match="There are 2 doors 14: Alder House, East; Alder House, West"
    ):
        logbook.door("14")


def test_a_door_that_is_not_there_is_said_so(logbook: Logbook) -> None:
    with pytest.raises(UnknownDoorError, match="There is no door 15 in the register"):
        logbook.door("15")
    with pytest.raises(UnknownDoorError, match="There is no door 15 in the register"):
        logbook.change_door(visit.door("15"), "Mona", visit.at(1))


def test_an_answer_fills_the_register_and_the_entry_names_it(logbook: Logbook) -> None:
    keep(logbook, visit.answer(begin(logbook).check, "glass.kind", visit.WIRED, 1))
    assert logbook.door("14").glazing is Glazing.WIRED
    last = logbook.entries()[-1]
    assert (last.kind, last.at, last.person, last.check) == (
        EntryKind.DOOR_CHANGED,
        visit.at(1),
        "Ines",
        "c1",
    )
    assert last.body["learnt"] == {"field": "glazing", "value": "wired", "answer": "glass.kind#1"}


def test_a_door_change_that_the_dialogue_entered_is_entered_once(logbook: Logbook) -> None:
    turn = visit.answer(begin(logbook).check, "glass.kind", visit.WIRED, 1)
    assert turn.door is not None
    learnt = {"field": "glazing", "value": "wired"}
    body = {"door": turn.door.model_dump(mode="json"), "learnt": learnt}
    change = Entry(
        kind=EntryKind.DOOR_CHANGED, at=visit.at(1), person="Ines", door="14", check="c1", body=body
    )
    keep(logbook, Turn(turn.check, turn.say, (change, *turn.enter), turn.door))
    assert [entry.kind.value for entry in logbook.entries()[2:]] == ["door changed", "answered"]
    assert logbook.entries()[2].body["learnt"] == {**learnt, "answer": "glass.kind#1"}
    assert logbook.door("14").glazing is Glazing.WIRED


@pytest.mark.parametrize("entered_by_dialogue", [True, False])
def test_what_a_check_learns_does_not_undo_a_change_made_meanwhile(
    logbook: Logbook, entered_by_dialogue: bool
) -> None:
    turn = visit.answer(begin(logbook).check, "glass.kind", visit.WIRED, 2)
    assert turn.door is not None
    logbook.change_door(visit.door(use=Use.STAIR), "Mona", visit.at(1))
    if entered_by_dialogue:
        body = {
            "door": turn.door.model_dump(mode="json"),
            "learnt": {"field": "glazing", "value": "wired"},
        }
        change = Entry(
            kind=EntryKind.DOOR_CHANGED,
            at=visit.at(2),
            person="Ines",
            door="14",
            check="c1",
            body=body,
        )
        turn = Turn(turn.check, turn.say, (change, *turn.enter), turn.door)
    keep(logbook, turn)
    assert logbook.door("14") == visit.door(use=Use.STAIR, glazing=Glazing.WIRED)


# ---- people


def test_people_are_known_by_name_and_role(logbook: Logbook) -> None:
    logbook.add_person("Ines", "caretaker", visit.at(0))
    logbook.add_person("Omar", "supervisor", visit.at(1))
    assert [(person.name, person.role, person.since) for person in logbook.people()] == [
        ("Ines", "caretaker", visit.at(0)),
        ("Omar", "supervisor", visit.at(1)),
    ]


def test_a_name_is_known_once(logbook: Logbook) -> None:
    logbook.add_person("Ines", "caretaker", visit.at(0))
    with pytest.raises(PersonExistsError, match="Ines is known already"):
        logbook.add_person("Ines", "supervisor", visit.at(1))


# ---- checks


def test_a_check_knows_where_it_stands(logbook: Logbook) -> None:
    turn = begin(logbook)
    seen = [logbook.check("c1").stage]
    for step in (
        visit.pause(turn.check, 1),
        visit.pause(turn.check, 2, Stage.ASKING),
        visit.answer(turn.check, "seals", visit.SOUND, 3),
        visit.close(turn.check, 4),
    ):
        keep(logbook, step)
        seen.append(logbook.check("c1").stage)
    assert seen == ["open", "paused", "open", "open", "signed"]


def test_a_signed_check_says_when_and_with_what_verdict(logbook: Logbook) -> None:
    keep(
        logbook,
        visit.close(
            keep(logbook, visit.answer(begin(logbook).check, "seals", visit.SOUND, 3)).check, 4
        ),
    )
    check = logbook.check("c1")
    assert (check.door, check.site, check.building, check.person) == (
        "14",
        "Alder House",
        "East",
        "Ines",
    )
    assert (check.started, check.closed, check.verdict) == (visit.at(0), visit.at(4), Verdict.SOUND)
    assert (check.answers, check.skipped) == (1, ("closer.shuts",))


def test_a_check_that_is_not_there_is_said_so(logbook: Logbook) -> None:
    with pytest.raises(UnknownCheckError, match="There is no check c7"):
        logbook.check("c7")


def test_checks_of_a_door_are_those_of_its_building(logbook: Logbook) -> None:
    west = visit.door(building="West")
    logbook.add_door(west, "Mona", visit.at(-4))
    signed(logbook, "c1")
    signed(logbook, "c2", 10, west)
    assert [check.id for check in logbook.checks("14")] == ["c1", "c2"]
    assert [check.id for check in logbook.checks(west)] == ["c2"]
    assert [check.id for check in logbook.checks(visit.door("15"))] == []


def test_the_last_check_is_the_last_one_signed(logbook: Logbook) -> None:
    assert logbook.last_check(visit.door()) is None
    signed(logbook, "c1")
    signed(logbook, "c2", 10)
    keep(logbook, visit.close(begin(logbook, "c3", 20).check, 21, Stage.CANCELLED))
    begin(logbook, "c4", 30)
    last = logbook.last_check(visit.door())
    assert last is not None and last.id == "c2"


def test_a_door_is_new_until_a_check_of_it_is_signed(logbook: Logbook) -> None:
    turn = begin(logbook)
    assert logbook.first_visit("14") and logbook.first_visit(visit.door())
    keep(logbook, visit.close(turn.check, 1))
    assert not logbook.first_visit("14") and not logbook.first_visit(visit.door())
    assert logbook.first_visit(visit.door(building="West"))


def test_visits_of_a_person_are_the_checks_they_signed(logbook: Logbook) -> None:
    signed(logbook, "c1")
    signed(logbook, "c2", 10, person="Omar")
    signed(logbook, "c3", 20)
    begin(logbook, "c4", 30)
    assert (logbook.visits("Ines"), logbook.visits("Omar"), logbook.visits("Mona")) == (2, 1, 0)


# ---- entries


def test_entries_can_be_asked_for_by_door_check_time_and_number(logbook: Logbook) -> None:
    logbook.add_door(visit.door("15"), "Mona", visit.at(0))
    signed(logbook, "c1", 1)
    signed(logbook, "c2", 10, visit.door("15"))

    def seqs(**wanted: object) -> list[int]:
        return [entry.seq for entry in logbook.entries(**wanted)]  # type: ignore[arg-type]

    assert seqs() == [1, 2, 3, 4, 5, 6]
    assert seqs(door="15") == [2, 5, 6]
    assert seqs(check="c1") == [3, 4]
    assert seqs(door="14", since=visit.at(1)) == [3, 4]
    assert seqs(since=visit.at(2) + timedelta(microseconds=1)) == [5, 6]
    assert seqs(after=2, limit=2) == [3, 4]
    assert seqs(door="14", check="c2") == []


def test_notes_are_read_from_entries(logbook: Logbook, path: Path) -> None:
    keep(logbook, visit.note(begin(logbook).check, "draughty", 3))
    assert raw(path, "SELECT seq, check_id, door, person, text FROM notes") == [
        (3, "c1", "14", "Ines", "draughty")
    ]


def test_a_lost_checklist_is_named(logbook: Logbook) -> None:
    with pytest.raises(LogbookError, match=r"The checklist abc… is not in .*logbook\.db"):
        logbook.checklist("abc")
