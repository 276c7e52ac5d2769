"""Which door? No check begins at a door that was guessed; where it stands outlives a restart."""

from __future__ import annotations

import pytest
from named_doors import FORTY, FOURTEEN, OTHER
from visits import BOOK

from doorround.dialogue.door_search import DoorSearch, ask_which, take_search_turn
from doorround.dialogue.next_door import door_after
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorCommand, DoorReference, DoorWord, NoSuchDoor
from doorround.domain.input_result import BadAudio, By, OffGrammar, Silence
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex

YES = DoorCommand(word=DoorWord.YES, words="yes")
NO = DoorCommand(word=DoorWord.NO, words="no")


def heard(*doors: Door, sure: bool = False, by: By = By.VOICE) -> DoorReference:
    return DoorReference(doors=doors, words="two fourteen", sure=sure, by=by, probability=0.9)


def test_a_door_that_is_sure_begins() -> None:
    assert take_search_turn(DoorSearch(), heard(FOURTEEN, sure=True)).begin == FOURTEEN


def test_a_door_that_is_not_sure_is_said_back_and_waits_for_a_yes() -> None:
    sought = take_search_turn(DoorSearch(), heard(FOURTEEN))
    assert sought.begin is None
    assert [(prompt.text, prompt.taps) for prompt in sought.say] == [
        ("Door 2.14: second floor, stair B. Right?", ("yes", "no"))
    ]
    yes = take_search_turn(sought.search, YES)
    assert yes.begin == FOURTEEN and yes.confirmed


def test_heard_again_in_the_same_way_it_is_still_no_yes() -> None:
    sought = take_search_turn(DoorSearch(), heard(FORTY))
    again = take_search_turn(sought.search, heard(FORTY))
    assert again.begin is None and again.say[0].text.endswith("Right?")


def test_two_doors_that_sound_alike_are_both_named_with_their_buttons() -> None:
    sought = take_search_turn(DoorSearch(), heard(FOURTEEN, FORTY))
    assert (
        sought.say[0].text
        == "Door 2.14: second floor, stair B; or door 2.40: second floor, stair B? Tap one, or say"
        " which."
    )
    assert sought.say[0].taps == ("door 2.14", "door 2.40", "neither")
    assert take_search_turn(sought.search, YES).begin is None, "yes to two doors is no answer"
    assert take_search_turn(sought.search, heard(FORTY, sure=True, by=By.TAP)).begin == FORTY


def test_what_is_said_next_narrows_the_doors_named() -> None:
    sought = take_search_turn(DoorSearch(), heard(FOURTEEN, FORTY))
    narrowed = take_search_turn(sought.search, heard(FORTY, OTHER))
    assert narrowed.search.offered == (FORTY,) and narrowed.begin is None
    second = take_search_turn(
        sought.search, DoorCommand(word=DoorWord.PICK, pick=2, words="the second one")
    )
    assert second.say[0].text == "Door 2.40: second floor, stair B. Right?"
    assert (
        take_search_turn(
            sought.search, DoorCommand(word=DoorWord.PICK, pick=3, words="the third one")
        ).begin
        is None
    )


def test_many_doors_are_not_read_out() -> None:
    doors = tuple(Door(number=f"2.{place}", place="stair B") for place in range(12))
    said = take_search_turn(DoorSearch(), heard(*doors)).say
    assert [prompt.text for prompt in said] == [
        "12 doors match that. Say the floor as well, or the number on the door."
    ]


def test_a_door_that_was_refused_is_not_offered_again() -> None:
    refused = take_search_turn(take_search_turn(DoorSearch(), heard(FORTY)).search, NO)
    assert refused.say[0].text.startswith("Not that, then. Which door are you at?")
    again = take_search_turn(refused.search, heard(FORTY))
    assert again.begin is None and again.say[0].text.startswith(
        "You said that it is not door 2.40."
    )
    assert take_search_turn(refused.search, heard(FORTY, FOURTEEN)).search.offered == (FOURTEEN,)
    assert take_search_turn(refused.search, heard(FORTY, sure=True)).begin is None


@pytest.mark.parametrize(
    "nothing", [Silence(), OffGrammar(), OffGrammar(words="lunch"), BadAudio(advice="Too quiet.")]
)
def test_nothing_heard_begins_nothing_and_keeps_what_was_offered(nothing) -> None:  # type: ignore[no-untyped-def]
    for standing in (DoorSearch(), take_search_turn(DoorSearch(), heard(FOURTEEN)).search):
        sought = take_search_turn(standing, nothing)
        for _ in range(20):
            assert sought.begin is None and sought.say
            assert sought.search.offered == standing.offered
            sought = take_search_turn(sought.search, nothing)


@pytest.mark.parametrize("missed", [OffGrammar, Silence])
def test_what_was_wrong_with_the_recording_is_said_in_place_of_not_understood(missed) -> None:  # type: ignore[no-untyped-def]
    said = (
        take_search_turn(DoorSearch(), missed(advice="Too quiet. Hold the phone nearer."))
        .say[0]
        .text
    )
    assert (
        said == "Too quiet. Hold the phone nearer. Which door are you at? Say its number, or where"
        " it is."
    )


def test_after_two_misses_typing_is_asked_for() -> None:
    once = take_search_turn(DoorSearch(), Silence())
    assert (
        once.say[0].text
        == "I didn't hear anything. Which door are you at? Say its number, or where it is."
    )
    assert (
        take_search_turn(once.search, Silence()).say[0].text
        == "I didn't hear anything. Type the number on the door."
    )


def test_a_door_that_is_not_in_the_register_is_said_so_with_its_neighbours() -> None:
    sought = take_search_turn(DoorSearch(), NoSuchDoor(words="2.41", near=(FORTY,)))
    assert (
        sought.say[0].text
        == "There is no “2.41” in the register. Door 2.40: second floor, stair B? Tap one, or"
        " say which."
    )
    assert (
        take_search_turn(DoorSearch(), NoSuchDoor(words="999"))
        .say[0]
        .text.startswith("There is no “999” in the register. Which door")
    )


def test_next_door_is_the_one_after_by_number_and_waits_for_a_yes() -> None:
    register = tuple(Door(number=number, building="East") for number in ("10", "9", "9a", "P1"))
    register = (*register, Door(number="9b", building="West"))
    after = [door_after(door, register) for door in register]
    assert [door.number if door else None for door in after] == [None, "9a", "10", "9", None]
    sought = take_search_turn(
        DoorSearch(), DoorCommand(word=DoorWord.NEXT, words="next door"), following=FORTY
    )
    assert sought.begin is None and sought.say[0].text == "Door 2.40: second floor, stair B. Right?"
    nowhere = take_search_turn(DoorSearch(), DoorCommand(word=DoorWord.NEXT, words="next door"))
    assert nowhere.begin is None and nowhere.say[0].text.startswith(
        "There is no next door to check."
    )


def test_help_repeat_and_a_small_register_have_their_words() -> None:
    first = ask_which((FOURTEEN, FORTY), FORTY)
    assert first.say[0].taps == ("next door", "door 2.14", "door 2.40")
    assert (
        take_search_turn(first.search, DoorCommand(word=DoorWord.REPEAT, words="repeat")).say
        == first.say
    )
    assert (
        take_search_turn(first.search, DoorCommand(word=DoorWord.HELP, words="help"))
        .say[0]
        .text.startswith("Say the number")
    )
    assert (
        ask_which(()).say[0].text
        == "There are no doors in the register yet. Type “new door” to add one."
    )


def test_doors_of_one_number_are_told_apart_by_building_or_site() -> None:
    east = Door(number="3", building="East")
    west = Door(number="3", building="West")
    assert take_search_turn(DoorSearch(), heard(east, west)).say[0].taps == (
        "door 3 East",
        "door 3 West",
        "neither",
    )
    here = Door(number="3", site="Hill")
    there = Door(number="3", site="Quay")
    sought = take_search_turn(DoorSearch(), heard(here, there))
    assert sought.say[0].taps == ("door 3 Hill", "door 3 Quay", "neither")
    which = DoorResolver(NameIndex((here, there), BOOK))
    tapped = which.read("door 3 Quay", sought.search.offered, By.TAP)
    assert take_search_turn(sought.search, tapped).begin == there
