"""Which door? No check begins at a door that was guessed; where it stands outlives a restart."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from visits import BOOK, CHECKLIST, UNDERSTANDING

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.door_search import DoorSearch, ask_which, take_search_turn
from doorround.dialogue.next_door import door_after
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorCommand, DoorReference, DoorWord, NoSuchDoor
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, By, OffGrammar, Silence
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.logbook.errors import LogbookError
from doorround.logbook.read_aloud_prefs import read_aloud_to
from doorround.logbook.store import Logbook
from doorround.messages.finding_door import WHICH
from doorround.messages.replying import NOT_READING, READING

FOURTEEN = Door(number="2.14", floor="second floor", place="stair B")
FORTY = Door(number="2.40", floor="second floor", place="stair B")
OTHER = Door(number="12", place="by the lift")
MORNING = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
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


# ---- Kept in the logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        for door in (FOURTEEN, FORTY, OTHER):
            logbook.add_door(door, "Robin", MORNING)
        yield logbook


def deaf() -> RecognitionPipeline:
    raise AssertionError("nothing is heard here")


def talk(logbook: Logbook, tmp_path: Path) -> Talk:
    return Talk(
        "chat", "Robin", logbook, UNDERSTANDING, deaf, tmp_path / "recordings", checklist=CHECKLIST
    )


def later(seconds: int) -> datetime:
    return MORNING + timedelta(seconds=seconds)


def test_a_door_typed_begins_its_check_and_how_it_was_named_is_kept(
    logbook: Logbook, tmp_path: Path
) -> None:
    one = talk(logbook, tmp_path)
    assert one.ask_door(MORNING).say[0].text.startswith("Which door are you at?")
    reply = one.take(Incoming("m1", text="door 2.14"), later(1))
    assert reply.say[0].text == "Door 2.14: second floor, stair B."
    assert one.check is not None and one.check.stage is Stage.ASKING
    started = next(entry for entry in logbook.entries() if entry.kind is EntryKind.CHECK_STARTED)
    assert started.body["door_named"] == {
        "by": "typing",
        "words": "door 2.14",
        "probability": 1.0,
        "engine": "typed",
        "audio_sha256": None,
        "sure": True,
        "confirmed": True,
    }
    assert logbook.door_search("chat") is None and logbook.verify() == []


def test_what_was_offered_outlives_a_restart_and_a_message_twice_begins_once(
    tmp_path: Path,
) -> None:
    path = tmp_path / "logbook.db"
    with Logbook.open(path) as logbook:
        for door in (FOURTEEN, FORTY):
            logbook.add_door(door, "Robin", MORNING)
        asked = talk(logbook, tmp_path).take(Incoming("m1", text="stiar b"), later(1))
        assert asked.say[0].taps == ("door 2.14", "door 2.40", "neither")
    with Logbook.open(path) as logbook:
        one = talk(logbook, tmp_path)
        assert one.take(Incoming("m1", text="stiar b"), later(2)).say == asked.say
        offered = one.take(Incoming("m2", text="the second one"), later(3))
        assert offered.say[0].text.startswith("Door 2.40")
        again = one.take(Incoming("m2", text="the second one"), later(4))
        assert again.say == offered.say
        assert len(logbook.checks()) == 1 and logbook.checks()[0].door == "2.40"


def test_a_first_message_out_of_the_blue_may_name_the_door(
    logbook: Logbook, tmp_path: Path
) -> None:
    one = talk(logbook, tmp_path)
    assert (
        one.take(Incoming("m1", text="by the lift"), later(1)).say[0].text
        == "Door 12: by the lift."
    )


def test_after_a_signed_check_the_next_door_is_offered(logbook: Logbook, tmp_path: Path) -> None:
    one = talk(logbook, tmp_path)
    one.take(Incoming("m1", text="2.14"), later(1))
    for place, text in enumerate(("finish check", "finish check")):
        one.take(Incoming(f"f{place}", text=text), later(2 + place))
    assert one.check is None
    assert (
        one.take(Incoming("m2", text="next door"), later(9)).say[0].text
        == "Door 2.40: second floor, stair B. Right?"
    )
    assert (
        one.take(Incoming("m3", text="yes"), later(10)).say[0].text
        == "Door 2.40: second floor, stair B."
    )


def test_a_door_added_meanwhile_is_known_at_once(logbook: Logbook, tmp_path: Path) -> None:
    one = talk(logbook, tmp_path)
    assert (
        one.take(Incoming("m1", text="77"), later(1))
        .say[0]
        .text.startswith("There is no “77” in the register.")
    )
    logbook.add_door(Door(number="77"), "Robin", later(2))
    assert one.take(Incoming("m2", text="77"), later(3)).say[0].text == "Door 77."


def test_what_is_learnt_of_a_door_does_not_make_its_name_be_learnt_anew(
    logbook: Logbook, tmp_path: Path
) -> None:
    finder = talk(logbook, tmp_path)._finder
    before = finder.which
    logbook.change_door(FOURTEEN.model_copy(update={"hinges": 3}), "Robin", later(1))
    assert finder.which is before
    logbook.change_door(
        FOURTEEN.model_copy(update={"hinges": 3, "place": "stair C"}), "Robin", later(2)
    )
    assert finder.which is not before


def test_no_door_is_asked_for_in_the_middle_of_a_check(logbook: Logbook, tmp_path: Path) -> None:
    one = talk(logbook, tmp_path)
    one.take(Incoming("m1", text="2.14"), later(1))
    with pytest.raises(LogbookError, match="in the middle of check"):
        one.ask_door(later(2))


def test_where_a_talk_stood_that_cannot_be_read_is_asked_afresh(logbook: Logbook) -> None:
    logbook._db.conn.execute(
        "INSERT INTO door_search VALUES ('chat', '{\"of\": \"tomorrow\"}', '')"
    )
    assert logbook.door_search("chat") is None


@pytest.mark.parametrize(
    ("word", "line", "aloud"),
    ((DoorWord.READ_ALOUD, READING, True), (DoorWord.STOP_READING, NOT_READING, False)),
)
def test_reading_aloud_is_turned_on_and_off_where_a_door_is_asked_for(word, line, aloud):
    sought = take_search_turn(DoorSearch(misses=1), DoorCommand(word=word, words=word))
    assert sought.aloud is aloud and sought.begin is None
    assert sought.say[0].text == f"{line} {WHICH}"
    assert (
        take_search_turn(DoorSearch(), DoorCommand(word=DoorWord.HELP, words="help")).aloud is None
    )


def test_who_asks_for_reading_before_a_check_has_it_entered_once(
    logbook: Logbook, tmp_path: Path
) -> None:
    one = talk(logbook, tmp_path)
    said = one.take(Incoming("m1", text="read aloud"), later(1)).say
    assert one.take(Incoming("m1", text="read aloud"), later(2)).say == said
    assert read_aloud_to(logbook) == {one.person}
    assert [entry.kind for entry in logbook.entries()].count(EntryKind.READING_SET) == 1
    one.take(Incoming("m2", text="stop reading"), later(3))
    assert not read_aloud_to(logbook)


@pytest.mark.parametrize("words", ["yes", "no", "nope", "aye", "no, it isn't"])
def test_yes_or_no_where_nothing_was_asked_is_no_door_s_name(words: str) -> None:
    told = take_search_turn(DoorSearch(), OffGrammar(words=words)).say[0].text
    assert told == f"I asked nothing that a yes or no answers. {WHICH}"
