"""A check paused for another door: listed, taken up by number or label, handed over."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from talk_window import Window, furnish
from visits import NOON

from doorround.channels.talk.exchange import Incoming
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.values import Condition
from doorround.logbook.handover import hand_over
from doorround.logbook.store import Logbook


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        furnish(logbook)
        yield logbook


@pytest.fixture
def first(logbook: Logbook) -> Window:
    return Window(logbook, "terminal/Robin")


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
    first.says(
        "12", "all clear", "right and readable", "undamaged and firm", "other side leaf split"
    )
    first.says("maybe warped")
    assert first.talk.check and first.talk.check.stage is Stage.CONFIRMING
    said = first.says("another door")
    assert "reported" in said[0]
    assert EntryKind.REPORTED in [entry.kind for entry in logbook.entries()]
