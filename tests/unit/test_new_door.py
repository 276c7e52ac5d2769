"""A door is added in the chat, at the door: it is said back first, and its first check begins."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.new_door import (
    NewDoor,
    begin_new_door,
    floor_and_place,
    new_door_words,
    take_new_door,
)
from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.store import Logbook
from doorround.messages.finding_door import NO_DOORS
from doorround.messages.new_door import WHERE, WHICH_BUILDING, WHICH_NUMBER, WHICH_SITE

MILL = Door(number="12", site="Yard", building="Mill", floor="ground floor", place="by the lift")
BARN = Door(number="3", site="Yard", building="Barn")
FAR = Door(number="1", site="Quay", building="Weir House")
MORNING = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def add(*texts: str, register: tuple[Door, ...] = (MILL,)) -> tuple[list[str], Door | None]:
    """What is asked in turn, and the door that comes of it."""
    turn = begin_new_door(new_door_words(texts[0]) or "", None, register)
    said = [turn.say[0].text]
    for text in texts[1:]:
        assert turn.adding is not None
        turn = take_new_door(turn.adding, text, register)
        said += [each.text for each in turn.say]
    return said, turn.door


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("new door", ""),
        ("New door 14", "14"),
        ("add a door", ""),
        ("add door 2.14", "2.14"),
        ("/newdoor 14", "14"),
        ("next door", None),
        ("door 14", None),
        ("a new closer", None),
    ],
)
def test_new_door_is_said_in_so_many_words(text: str, number: str | None) -> None:
    assert new_door_words(text) == number


@pytest.mark.parametrize(
    ("text", "floor", "place"),
    [
        ("second floor, by stair B", "second floor", "by stair B"),
        ("by stair B, second floor", "second floor", "by stair B"),
        ("basement", "basement", ""),
        ("by the bins", "", "by the bins"),
        ("stair A, half landing", "", "stair A, half landing"),
        ("L2, plant", "", "L2, plant"),
    ],
)
def test_floor_and_place_are_told_apart_by_their_words(text: str, floor: str, place: str) -> None:
    assert floor_and_place(text) == (floor, place)


def test_a_door_beside_others_is_in_their_building_and_is_said_back() -> None:
    said, door = add("new door", "door 14", "first floor, by the lift", "yes")
    assert said == [
        WHICH_NUMBER,
        WHERE,
        "A new door 14: Yard, Mill, first floor, by the lift. Add it and check it now?",
    ]
    assert door is not None
    assert (door.number, door.site, door.building) == ("14", "Yard", "Mill")
    assert (door.floor, door.place, door.use) == ("first floor", "by the lift", None)


def test_of_several_buildings_or_sites_it_is_asked_which() -> None:
    said, door = add("new door 14", "Barn", "hall", "yes", register=(MILL, BARN))
    assert said[0] == WHICH_BUILDING and door is not None and door.building == "Barn"
    said, door = add("new door 14", "quay", "hall", "yes", register=(MILL, FAR))
    assert said[0] == WHICH_SITE and door is not None
    assert (door.site, door.building) == ("Quay", "Weir House")


def test_nothing_is_added_without_a_yes() -> None:
    for last in ("no", "cancel", "maybe", "that one"):
        said, door = add("new door 14", "hall", last)
        assert door is None
        assert said[-1].startswith("Nothing was added." if last in ("no", "cancel") else "A new")


def test_a_number_that_is_taken_or_cannot_be_is_asked_again() -> None:
    said, _ = add("new door", "12", " １２ ", "x" * 30, "13")
    assert said[1].startswith("Door 12: Yard, Mill, ground floor, by the lift is in the register")
    assert said[2].startswith("Door 12:") and "too long" in said[3] and said[4] == WHERE
    begun = begin_new_door("", BARN, (MILL, BARN))
    # the same number in another building is another door
    assert take_new_door(begun.adding or NewDoor(), "12", (MILL, BARN)).adding is not None


# ---- in a real logbook ---------------------------------------------------------------------------


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is heard here")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        yield logbook


def talk(logbook: Logbook, tmp_path: Path) -> Talk:
    return Talk("chat", "Robin", logbook, UNDERSTANDING, no_ear, tmp_path, checklist=CHECKLIST)


def say(one: Talk, *texts: str, start: int = 0) -> list[str]:
    said = []
    for nth, text in enumerate(texts, start):
        now = MORNING + timedelta(minutes=nth)
        said.append(one.take(Incoming(f"m{nth}", text=text), now).say[0].text)
    return said


def test_the_first_door_of_all_is_added_and_its_check_begins(
    logbook: Logbook, tmp_path: Path
) -> None:
    assert "new door" in NO_DOORS
    assert (
        say(talk(logbook, tmp_path), "new door 12", "hall", "yes", start=1)[-1] == "Door 12: hall."
    )
    assert [entry.kind for entry in logbook.entries()] == [
        EntryKind.DOOR_ADDED,
        EntryKind.CHECK_STARTED,
    ]
    assert logbook.entries()[0].person == "Robin"
    assert logbook.position("chat") is not None and logbook.door_search("chat") is None


def test_it_goes_on_after_a_restart_and_a_message_twice_adds_once(
    logbook: Logbook, tmp_path: Path
) -> None:
    logbook.add_door(MILL, "Mona", MORNING)
    say(talk(logbook, tmp_path), "new door 14", "first floor, hall")
    one = talk(logbook, tmp_path)
    first = one.take(Incoming("m9", text="yes"), MORNING)
    again = talk(logbook, tmp_path).take(Incoming("m9", text="yes"), MORNING)
    assert again.say == first.say
    assert [door.number for door in logbook.doors()] == ["12", "14"]


def test_a_door_that_came_meanwhile_or_was_retired_is_not_added_twice(
    logbook: Logbook, tmp_path: Path
) -> None:
    logbook.add_door(MILL, "Mona", MORNING)
    say(talk(logbook, tmp_path), "new door 14", "hall")
    logbook.add_door(MILL.model_copy(update={"number": "14"}), "Mona", MORNING)
    [told] = say(talk(logbook, tmp_path), "yes", start=5)
    assert "Door 14 (Yard, Mill) is in the register already." in told
    assert logbook.position("chat") is None
