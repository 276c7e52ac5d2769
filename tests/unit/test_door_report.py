"""A door as who reads sees it: never better than the logbook has it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.messenger.door_report import door_report, doors_called
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.domain.door import Door
from doorround.domain.people import Person
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.handover import hand_over
from doorround.logbook.store import Logbook

DOOR = Door(number="14", site="Alder House", place="by the lift")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(DOOR, "Mona", visit.at(0))
        for name in ("Sam", "Kim"):
            logbook.add_person(name, "caretaker", visit.at(0))
        yield logbook


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is to be heard here")


def talk(logbook: Logbook, person: str) -> Talk:
    return Talk(
        f"terminal/{person}",
        person,
        logbook,
        UNDERSTANDING,
        no_ear,
        Path("recordings"),
        checklist=CHECKLIST,
    )


def say(logbook: Logbook, person: str, *texts: str, minute: int = 5) -> None:
    for place, text in enumerate(texts):
        talk(logbook, person).take(
            Incoming(f"{minute}/{place}", text=text), visit.at(minute + place)
        )


def lines(logbook: Logbook) -> list[str]:
    return door_report(logbook, [logbook.door("14")]).splitlines()


def test_a_door_never_checked_says_so_and_who_is_at_it(logbook: Logbook) -> None:
    assert lines(logbook) == ["Door 14: Alder House, by the lift.", "Never fully checked."]
    talk(logbook, "Sam").begin_at(DOOR, visit.at(4))
    assert lines(logbook)[2] == "Open check by Sam, since 02 Mar 2026, 08:04."


def test_what_was_not_checked_is_never_passed_over(logbook: Logbook) -> None:
    talk(logbook, "Sam").begin_at(DOOR, visit.at(4))
    say(logbook, "Sam", "finish", "finish check")
    told = lines(logbook)
    assert told[1] == "02 Mar 2026, 08:06, Sam: not all seen, 0 answers."
    assert told[2].startswith("– not checked: ") and told[2].endswith(" more")
    assert "Leaves" not in told[2]
    assert "Nothing is open." not in told


def test_defects_are_told_with_their_day_until_they_are_made_good(logbook: Logbook) -> None:
    talk(logbook, "Sam").begin_at(DOOR, visit.at(4))
    say(logbook, "Sam", "seals painted over", "wedged open", "finish", "finish check")
    told = "\n".join(lines(logbook))
    assert "– seals: painted over, since 02 Mar 2026" in told
    talk(logbook, "Sam").begin_at(DOOR, visit.at(20))
    say(logbook, "Sam", "finish", "finish check", minute=21)
    told = "\n".join(lines(logbook))
    assert "– seals: painted over, since 02 Mar 2026" in told and "Before: 02 Mar 2026" in told


def test_who_signed_is_named_not_who_began(logbook: Logbook) -> None:
    talk(logbook, "Sam").begin_at(DOOR, visit.at(4))
    hand_over(logbook, "Sam", "Kim", "Sam", visit.at(5))
    say(logbook, "Kim", "finish", "finish check", minute=6)
    assert ", Kim: not all seen" in lines(logbook)[1]


def test_a_door_is_named_by_its_number_on_ones_sites_alone(logbook: Logbook) -> None:
    ada = Person("Ada", "auditor", visit.at(0))
    assert [door.number for door in doors_called(logbook, ada, "Door 14")] == ["14"]
    assert doors_called(logbook, ada, "1") == []
    assert doors_called(logbook, Person("Bea", "auditor", visit.at(0), ("Barn",)), "14") == []
