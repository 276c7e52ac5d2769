"""Several checks of one person: paused for another door, and open in two windows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from visits import CHECKLIST, NOON, UNDERSTANDING, door

from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.values import Condition
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.logbook.chats import Chats
from doorround.logbook.errors import LogbookError
from doorround.logbook.handover import hand_over
from doorround.logbook.open_checks import move_check, open_checks
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook

NUMBERS = ("12", "14", "16")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        for name in ("Robin", "Kim"):
            logbook.add_person(name, "caretaker", NOON)
        for number in NUMBERS:
            logbook.add_door(door(number), "Robin", NOON)
        yield logbook


def no_ear() -> RecognitionPipeline:
    raise AssertionError("nothing is to be heard here")


class Window:
    """One chat of one person."""

    def __init__(self, logbook: Logbook, chat: str, person: str = "Robin") -> None:
        self.talk = Talk(
            chat, person, logbook, UNDERSTANDING, no_ear, Path("recordings"), checklist=CHECKLIST
        )
        self._count = 0

    def opens(self) -> list[str]:
        return texts(self.talk.ask_door(NOON))

    def says(self, *lines: str) -> list[str]:
        """Some lines typed one after the other; what the bot says to the last."""
        reply = TalkReply(())
        for line in lines:
            self._count += 1
            id = f"{self.talk.chat}-{self._count}"
            reply = self.talk.take(Incoming(id, text=line), NOON + timedelta(seconds=self._count))
        return texts(reply)

    @property
    def at(self) -> tuple[str, str | None] | None:
        """The door whose check is open here, and the question."""
        check = self.talk.check
        return None if check is None else (check.door.number, check.open)


def texts(reply: TalkReply) -> list[str]:
    return [prompt.text for prompt in reply.say]


@pytest.fixture
def first(logbook: Logbook) -> Window:
    return Window(logbook, "terminal/Robin")


@pytest.fixture
def second(logbook: Logbook) -> Window:
    return Window(logbook, "telegram/7")


# ---- paused for another door


@pytest.mark.parametrize("words", ["not now, another door", "Another door.", "next door"])
def test_another_door_pauses_the_check_and_asks_which(first: Window, words: str) -> None:
    said = first.says("12", "all clear", words)
    assert said[0].startswith("Door 12 is paused, 1 of ")
    assert said[-1] == "Which door are you at? Say its number, or where it is."
    assert first.at is None
    first.says("14")
    assert first.at == ("14", "clear")


def test_several_checks_are_paused_listed_and_resumed_by_number(first: Window) -> None:
    first.says("12", "all clear", "another door", "14")
    said = first.says("another door")
    assert said[-1].startswith("Paused: doors 14 and 12. Which door are you at?")
    said = first.says("carry on")
    assert said == ["Paused: doors 14 and 12. Which of them? Say its number."]
    said = first.says("12")
    assert said[0] == "Back at door 12." and first.at == ("12", "sign.here")
    assert first.talk.check and first.talk.check.answers["clear"].value == Condition()


def test_carry_on_takes_up_the_only_one_and_carry_on_with_names_one(first: Window) -> None:
    first.says("12", "another door")
    assert first.says("carry on")[0] == "Back at door 12."
    first.says("another door", "14", "another door")
    assert first.says("carry on with door 12")[0] == "Back at door 12."


def test_carry_on_where_nothing_is_paused_says_so(first: Window) -> None:
    assert first.says("carry on")[0].startswith("No check of yours is paused.")


def test_a_paused_check_is_taken_up_by_its_label(logbook: Logbook, first: Window) -> None:
    first.says("12", "all clear", "another door")
    said = first.talk.begin_at(logbook.door("12"), NOON)
    assert said.say[0].text == "Back at door 12." and len(logbook.checks()) == 1


def test_both_checks_are_signed_each_with_its_own_answers(logbook: Logbook, first: Window) -> None:
    first.says("12", "boxes in the way", "another door", "14", "all clear", "finish check")
    first.says("finish check", "12", "finish check", "finish check")
    signed = {e.door: e.body["answers"] for e in logbook.entries() if e.kind is EntryKind.SIGNED}
    assert signed == {"12": 1, "14": 1} and logbook.verify() == []


def test_the_same_message_twice_puts_one_check_aside_once(first: Window) -> None:
    first.says("12")
    asked = first.talk.take(Incoming("m", text="another door"), NOON)
    assert first.talk.take(Incoming("m", text="another door"), NOON).say == asked.say


def test_paused_checks_go_along_when_the_round_is_handed_over(
    logbook: Logbook, first: Window
) -> None:
    first.says("12", "another door", "14")
    hand_over(logbook, "Robin", "Kim", "Robin", NOON)
    kim = Window(logbook, "terminal/Kim", "Kim")
    assert kim.at == ("14", "clear")
    assert kim.says("another door", "12")[0] == "Back at door 12."
    assert first.says("carry on")[0].startswith("No check of yours is paused.")


def test_a_fault_that_waits_for_its_yes_is_reported_when_another_door_is_begun(
    logbook: Logbook, first: Window
) -> None:
    first.says("12", "all clear", "right and readable", "undamaged", "other side leaf split")
    first.says("maybe warped")
    assert first.talk.check and first.talk.check.stage is Stage.CONFIRMING
    said = first.says("another door")
    assert "reported" in said[0]
    assert EntryKind.REPORTED in [entry.kind for entry in logbook.entries()]


# ---- two windows


def test_the_second_window_takes_the_check_over_only_on_a_yes(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    assert second.opens() == [
        "You're in the middle of door 12 in another window. Carry on with it here?"
    ]
    assert second.at is None and first.at == ("12", "sign.here")
    said = second.says("yes")
    assert said[0].startswith("Door 12 goes on here: 1 of ") and "sign" in said[-1].lower()
    assert second.at == ("12", "sign.here") and first.at is None


def test_the_first_window_is_told_and_what_is_said_there_answers_nothing(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.says("hello", "yes")
    told = "Door 12 now goes on in your other window. Carry on with it here instead?"
    for words in ("right and readable", "14", "three"):
        assert first.says(words) == [f"Yes or no, please. {told}"]
    assert second.at == ("12", "sign.here") and len(logbook.checks()) == 1
    assert first.says("yes")[0].startswith("Door 12 goes on here")
    assert first.at == ("12", "sign.here") and second.at is None


def test_a_first_window_on_a_messenger_is_written_to_at_once(
    logbook: Logbook, first: Window, second: Window
) -> None:
    Chats(logbook).belong("telegram/7", "Robin")
    second.says("12", "all clear")
    turn = Chats(logbook).turn("telegram/7")
    first.opens()
    first.says("yes")
    [told] = Outbox(logbook, "telegram").next_per_chat()
    assert told.body.text.startswith("Door 12 now goes on in your other window.")
    assert told.body.taps == ("yes", "no") and told.turn == turn + 1


def test_after_a_no_the_check_stays_and_another_may_begin(first: Window, second: Window) -> None:
    first.says("12", "all clear")
    second.opens()
    assert second.says("no")[0].startswith("It stays in the other window. Which door are you at?")
    second.says("14")
    assert first.at == ("12", "sign.here") and second.at == ("14", "clear")


def test_no_second_check_of_a_door_begins_while_one_is_open(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.opens()
    second.says("no")
    said = second.says("12")
    assert said == ["You're in the middle of door 12 in another window. Carry on with it here?"]
    assert len(logbook.checks()) == 1


def test_a_label_scanned_in_the_second_window_begins_after_a_no(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12")
    said = second.talk.begin_at(logbook.door("14"), NOON)
    assert said.say[-1].text.startswith("You're in the middle of door 12")
    second.says("no")
    assert second.at == ("14", "clear") and first.at == ("12", "clear")


def test_a_check_that_was_signed_meanwhile_is_not_begun_anew_by_the_yes(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12")
    second.opens()
    first.says("finish check", "finish check")
    assert second.says("yes")[0].startswith("That check has been closed meanwhile. Which door")
    assert len(logbook.checks()) == 1


def test_a_recording_heard_for_the_first_window_answers_nothing_once_it_is_gone(
    first: Window, second: Window
) -> None:
    first.says("12")
    second.says("hello", "yes")
    heard = Heard(said=(Said(question="clear", value=Condition(), phrase="clear"),), words="clear")
    reply = first.talk.take_heard(Incoming("v", recording=b"clear"), heard, NOON)
    assert texts(reply)[0].startswith("Yes or no, please.") and second.at == ("12", "clear")


def test_another_person_is_asked_nothing(logbook: Logbook, first: Window) -> None:
    first.says("12")
    kim = Window(logbook, "telegram/8", "Kim")
    assert kim.opens()[0].startswith("Which door are you at?")


def test_what_waited_for_a_yes_still_waits_in_the_window_that_took_it_over(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear", "right and readable", "undamaged", "maybe warped")
    second.opens()
    said = second.says("yes")
    assert said[-1].endswith("Right?")
    second.says("yes")
    assert second.talk.check and second.talk.check.answers["leaf.here"].value != Condition()


def test_a_check_never_moves_over_one_that_is_open(logbook: Logbook) -> None:
    window = Window(logbook, "telegram/1")
    window.opens()
    window.says("12", "another door", "14")
    [aside] = [each for each in open_checks(logbook, "Robin") if each.aside]
    with pytest.raises(LogbookError, match="in the middle of check"):
        move_check(logbook, aside, "telegram/1", "Robin", NOON)
    numbers = {each.check.door.number for each in open_checks(logbook, "Robin")}
    assert numbers == {"12", "14"}
