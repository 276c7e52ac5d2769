"""A check that is open in two windows of one person."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from talk_window import Window, furnish, texts
from visits import NOON

from doorround.channels.talk.exchange import Incoming
from doorround.domain.input_result import Heard, Said
from doorround.domain.values import Condition
from doorround.logbook.chats import Chats
from doorround.logbook.errors import LogbookError
from doorround.logbook.open_checks import move_check, open_checks
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        furnish(logbook)
        yield logbook


@pytest.fixture
def first(logbook: Logbook) -> Window:
    return Window(logbook, "terminal/Robin")


@pytest.fixture
def second(logbook: Logbook) -> Window:
    return Window(logbook, "telegram/7")


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


def test_say_again_repeats_the_question_and_not_that_the_check_moved(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.says("hello", "yes")
    said = second.says("say again")
    assert not any("goes on here" in line for line in said) and said[-1].startswith("Sign on this")


def test_the_first_window_is_told_and_what_is_said_there_answers_nothing(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.says("hello", "yes")
    told = "Door 12 now goes on in your other window. Carry on with it here instead?"
    for words in ("right and readable", "14", "three"):
        said = first.says(words)
        assert len(said) == 1 and said[0].endswith(f" is not entered. Yes or no, please. {told}")
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


def test_what_stays_in_the_other_window_is_not_asked_about_again(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.opens()
    second.says("no")
    assert second.opens() == ["Which door are you at? Say its number, or where it is."]


def test_after_a_no_to_the_door_that_is_open_there_no_check_begins_here(
    logbook: Logbook, first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.says("12")
    assert second.says("no")[0].startswith("It stays in the other window. Which door are you at?")
    assert second.at is None and len(logbook.checks()) == 1


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
    first.says("12", "all clear", "right and readable", "undamaged and firm", "maybe warped")
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


def test_a_fault_told_in_the_window_that_was_left_is_shown_before_the_signature(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    second.says("hello", "yes")
    said = first.says("leaf has a hole in it")
    assert said[-1].startswith("“leaf has a hole in it” is not entered. Yes or no, please.")
    said = first.says("yes")
    assert "Not entered yet: “leaf has a hole in it”." in said[1] and first.at is not None
    check = first.talk.check
    assert check is not None and "leaf has a hole in it" in check.unread_at_end
    said = first.says("finish check", "finish check")
    assert any("“leaf has a hole in it”" in line for line in said)


def test_a_fault_told_in_a_second_window_is_kept_over_the_question(
    first: Window, second: Window
) -> None:
    first.says("12", "all clear")
    said = second.says("leaf has a hole in it")
    assert said[-1].startswith("“leaf has a hole in it” is not entered. You're in the middle of")
    said = second.says("yes")
    assert "Not entered yet: “leaf has a hole in it”." in said[1]
    check = second.talk.check
    assert check is not None and "leaf has a hole in it" in check.unread_at_end
