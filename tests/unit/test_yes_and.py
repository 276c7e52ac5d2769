"""“Yes and it's split”, to a pass that is read back: the fault is taken at once, and no pass."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from own_words_typed import UNDERSTAND
from passes import PASSES
from talk_window import Window, texts
from visits import NOON, door, in_short

from doorround.channels.talk.exchange import Incoming
from doorround.domain.check import Check, Stage
from doorround.domain.input_result import OffGrammar
from doorround.english.yes_and import after_yes
from doorround.logbook.store import Logbook

SOUND = "I think it's undamaged, no holes"


@pytest.fixture
def window(tmp_path: Path) -> Iterator[Window]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Robin", "caretaker", NOON)
        logbook.add_door(door("12"), "Robin", NOON)
        window = Window(logbook, "terminal/Robin", understand=UNDERSTAND)
        window.says("12")
        while check_of(window).open != "leaf.here":
            window.says(PASSES[check_of(window).open or ""])
        yield window


def check_of(window: Window) -> Check:
    assert window.talk.check is not None
    return window.talk.check


@pytest.mark.parametrize("words", ["yes and it's split", "yes but it's split", "aye, only split"])
def test_the_fault_after_a_yes_is_entered_at_once(window: Window, words: str) -> None:
    said = window.says(SOUND, words)
    assert said[0] == "Leaf, this side: split."
    assert in_short(check_of(window).answers["leaf.here"].value) == "split"
    assert check_of(window).unread_at_end == ()


def test_one_in_own_words_is_read_back(window: Window) -> None:
    said = window.says(SOUND, "yes but there's a bit of a split in it")
    assert said[-1] == "Leaf, this side: split. Right?"
    assert "leaf.here" not in check_of(window).answers


def test_one_from_a_transcript_is_read_back(window: Window) -> None:
    window.says(SOUND)
    heard = OffGrammar(transcript="Yes, and it's split.", audio_sha256="a" * 64)
    incoming = Incoming("spoken", recording=b"heard already")
    said = texts(window.talk.take_heard(incoming, heard, NOON))
    assert said[-1] == "Leaf, this side: split. Right?"
    assert "leaf.here" not in check_of(window).answers


def test_a_fault_of_another_part_leaves_the_pass_waiting(window: Window) -> None:
    window.says(SOUND, "yes and the closer leaks oil")
    check = check_of(window)
    assert check.stage is Stage.CONFIRMING and "leaf.here" not in check.answers
    told = {each.question for each in check.reported} | set(check.answers)
    assert "closer.full" in told


@pytest.mark.parametrize(
    "words", ["yes and it's fine", "yes and it's not split", "yes and the glass is fine"]
)
def test_nothing_but_a_fault_is_taken_from_after_a_yes(window: Window, words: str) -> None:
    window.says(SOUND)
    before = check_of(window)
    window.says(words)
    after = check_of(window)
    assert after.pending == before.pending and after.answers == before.answers


@pytest.mark.parametrize("words", ["yes", "yes mate", "yes please", "okay", "no", "split"])
def test_a_bare_yes_has_nothing_after_it_that_could_be_a_fault(words: str) -> None:
    assert "split" not in after_yes(words)
