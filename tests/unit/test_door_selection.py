"""Which door, over a real logbook: typed, offered, begun once, kept over a restart."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from named_doors import FORTY, FOURTEEN, OTHER
from visits import CHECKLIST, UNDERSTANDING

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.door_search import DoorSearch, take_search_turn
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorCommand, DoorWord
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import OffGrammar
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.errors import LogbookError
from doorround.logbook.read_aloud_prefs import read_aloud_to
from doorround.logbook.store import Logbook
from doorround.messages.finding_door import WHICH
from doorround.messages.replying import NOT_READING, READING

MORNING = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


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
