"""Said where no check is open: "new door", and yes or no to what is read back; "change door 12".

What the recordings come to is heard in tests/audio/test_asked_voices.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

import pytest
from visits import CHECKLIST, UNDERSTANDING, Visit, door

from doorround.channels.talk.door_selection import DoorSelection
from doorround.dialogue.register_change import REGISTER, what_to_change
from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    AskedQuery,
    DoorCommand,
    DoorReference,
    DoorWord,
)
from doorround.domain.input_result import By
from doorround.domain.query import Query, QueryKind
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.store import Logbook
from doorround.messages.asking import WHAT_TO_CHANGE
from doorround.messages.new_door import NOT_ADDED, TYPE_IT, WHERE, WHICH_NUMBER

MILL = Door(number="12", site="Yard", building="Mill", floor="ground floor", place="by the lift")
NEXT = MILL.model_copy(update={"number": "13", "place": "hall"})
NOW = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
IDS = count()
NEW = DoorCommand(word=DoorWord.NEW, words="add a new door")


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is heard here")


@pytest.fixture
def chosen(tmp_path: Path) -> Iterator[DoorSelection]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for each in (MILL, NEXT):
            logbook.add_door(each, "Mona", NOW)
        yield DoorSelection("chat", "Robin", logbook, UNDERSTANDING.grammar_set, no_ear)


def take(chosen: DoorSelection, *heard: AnyDoorReference | str) -> list[str]:
    said: list[str] = []
    for each in heard:
        known = chosen.hear(each, By.TYPING, None) if isinstance(each, str) else each
        said = [one.text for one in chosen.take(known, f"m{next(IDS)}", CHECKLIST, NOW)]
    return said


def numbers(chosen: DoorSelection) -> list[str]:
    return [each.number for each in chosen.which.building.doors]


def test_new_door_begins_by_voice_and_a_spoken_yes_adds_what_was_read_back(
    chosen: DoorSelection,
) -> None:
    assert take(chosen, NEW) == [WHICH_NUMBER]
    assert take(chosen, "14") == [WHERE]
    assert not chosen.wanted.offered
    [asked] = take(chosen, "first floor, hall")
    assert asked.startswith("A new door 14:") and chosen.wanted.offered
    take(chosen, DoorCommand(word=DoorWord.YES, words="that's right"))
    assert numbers(chosen) == ["12", "13", "14"]


def test_a_spoken_no_adds_nothing(chosen: DoorSelection) -> None:
    [told] = take(chosen, NEW, "14", "hall", DoorCommand(word=DoorWord.NO, words="no"))
    assert told.startswith(NOT_ADDED) and numbers(chosen) == ["12", "13"]


@pytest.mark.parametrize(
    "heard",
    [
        DoorCommand(word=DoorWord.YES, words="yes"),
        DoorCommand(word=DoorWord.NEXT, words="next door"),
        DoorReference(words="door thirteen", doors=(NEXT,), sure=True),
    ],
)
def test_no_other_spoken_words_become_a_number_or_a_place(
    chosen: DoorSelection, heard: AnyDoorReference
) -> None:
    assert take(chosen, NEW, heard)[0] == TYPE_IT
    assert take(chosen, "14", heard)[0] == TYPE_IT
    take(chosen, "hall", "yes")
    assert [each.place for each in chosen.which.building.doors if each.number == "14"] == ["hall"]


def test_change_door_begins_its_check_and_asks_what_to_change(chosen: DoorSelection) -> None:
    said = take(chosen, "change door 12")
    assert said[0].startswith("Door 12") and said[-1] == WHAT_TO_CHANGE


def test_spoken_it_begins_nothing_before_a_yes(chosen: DoorSelection) -> None:
    spoken = AskedQuery(words="change door twelve", asked=Query(QueryKind.CHANGE), doors=(MILL,))
    asked = spoken.model_copy(update={"sure": False})
    assert take(chosen, asked)[0].startswith("Door 12")
    assert chosen.wanted.offered == (MILL,)
    said = take(chosen, DoorCommand(word=DoorWord.YES, words="yes"))
    assert said[-1] == WHAT_TO_CHANGE


def test_another_door_named_instead_has_its_check_begun_alone(chosen: DoorSelection) -> None:
    spoken = AskedQuery(words="change door twelve", asked=Query(QueryKind.CHANGE), doors=(MILL,))
    said = take(chosen, spoken.model_copy(update={"sure": False}), "13")
    assert said[0].startswith("Door 13") and WHAT_TO_CHANGE not in said


@pytest.mark.parametrize("words", ["change door 7", "change door number 7", "change 7"])
def test_in_its_own_check_the_number_may_be_said_too(words: str) -> None:
    visit = Visit(door(number="7"))
    visit.type(words)
    assert visit.turn.say[0] == what_to_change(visit.check)
    other = Visit(door(number="8"))
    other.type(words)
    assert other.turn.say[0].text != WHAT_TO_CHANGE
    assert REGISTER not in other.check.answers


def test_what_is_to_be_typed_is_told_once_however_often_it_is_spoken(
    chosen: DoorSelection,
) -> None:
    asked = take(chosen, NEW)
    spoken = DoorReference(words="thirteen", doors=(NEXT,), sure=True)
    assert take(chosen, spoken) == [TYPE_IT, *asked]
    assert take(chosen, spoken) == [TYPE_IT, *asked]
