"""A fault or a note told once the check is over is not taken for a door's name, and is kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from own_words_typed import UNDERSTAND
from talk_window import Window, furnish
from visits import UNDERSTANDING, Visit

from doorround.channels.talk.late_words import at_end
from doorround.channels.talk.old_buttons import OldButtons
from doorround.dialogue.expected_input import expected_input
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By, Heard, OffGrammar
from doorround.hearing.session.interpretation import typed
from doorround.logbook.store import Logbook
from tests.unit.visits import NOON

SHA256 = "a" * 64


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        furnish(logbook)
        yield logbook


def noted(logbook: Logbook) -> list[tuple[str | None, str]]:
    entries = [each for each in logbook.entries() if each.kind is EntryKind.NOTED]
    return [(each.door, each.body["text"]) for each in entries]


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("closer slams", "closer slams"),
        ("maybe the glass is cracked", "maybe the glass is cracked"),
        ("note smells of gas", "smells of gas"),
    ],
)
def test_a_fault_or_a_note_after_the_signature_is_noted_with_its_door(
    logbook: Logbook, words: str, text: str
) -> None:
    window = Window(logbook, "terminal/Robin")
    window.says("12", "finish", "finish")
    said = window.says(words)
    assert said[0].startswith(f"No check is open. I've noted “{text}” with door 12")
    assert said[1].startswith("Which door are you at?")
    assert noted(logbook) == [("12", text)] and logbook.verify() == []
    window.says("12")
    assert window.at == ("12", "clear")


@pytest.mark.parametrize("words", ["the lift lobby", "undo", "all fine", "99", "glass not cracked"])
def test_what_tells_no_fault_is_taken_for_the_name_of_a_door(logbook: Logbook, words: str) -> None:
    window = Window(logbook, "terminal/Robin")
    window.says("12", "finish", "finish", words)
    assert noted(logbook) == []


def test_with_no_check_before_it_a_fault_is_of_no_door(logbook: Logbook) -> None:
    window = Window(logbook, "terminal/Robin")
    window.says("closer slams")
    assert noted(logbook) == []


def test_delivered_twice_it_is_noted_once(logbook: Logbook) -> None:
    window = Window(logbook, "terminal/Robin")
    window.says("12", "finish", "finish", "closer slams")
    window._count -= 1
    window.says("closer slams")
    assert noted(logbook) == [("12", "closer slams")]


def signed(logbook: Logbook) -> Window:
    window = Window(logbook, "terminal/Robin", understand=UNDERSTAND)
    window.says("12", "finish", "finish")
    return window


def heard_at_end(words: str) -> Heard:
    """What a recording is heard as at the end of a check."""
    heard = typed(UNDERSTANDING, words, expected_input(at_end(Visit().check)), By.VOICE)
    assert isinstance(heard, Heard)
    return heard


@pytest.mark.parametrize(
    "words",
    [
        "forgot, the leaf's split",
        "oh sorry, I forgot to say that the glass is cracked",
        "by the way the closer leaks oil",
        "forgot to mention there's something odd about it",
    ],
)
def test_what_was_forgotten_is_noted_with_the_last_door(logbook: Logbook, words: str) -> None:
    said = signed(logbook).says(words)
    assert said[0].startswith(f"No check is open. I've noted “{words}” with door 12, the last")
    assert noted(logbook) == [("12", words)]


@pytest.mark.parametrize(
    "words",
    ["the leaf's split on 14", "14: the leaf's split", "forgot, closer slams at door 14"],
)
def test_it_is_noted_with_the_door_that_it_names(logbook: Logbook, words: str) -> None:
    said = signed(logbook).says(words)
    assert f"noted “{words}” with door 14." in said[0]
    assert noted(logbook) == [("14", words)]


def test_it_is_noted_with_no_door_if_the_one_it_names_is_unknown(logbook: Logbook) -> None:
    said = signed(logbook).says("the leaf's split on 999")
    assert "with no door, as I know none called that" in said[0]
    assert noted(logbook) == [(None, "the leaf's split on 999")] and logbook.verify() == []


@pytest.mark.parametrize("words", ["forgot 14", "sorry, door 14", "forgot", "14 on the left"])
def test_a_door_with_some_words_around_it_is_no_note(logbook: Logbook, words: str) -> None:
    signed(logbook).says(words)
    assert noted(logbook) == []


def test_a_spoken_fault_is_noted_with_its_recording(logbook: Logbook) -> None:
    window = signed(logbook)
    best = heard_at_end("leaf split")
    said = window.hears(OffGrammar(nearest=(best,), audio_sha256=SHA256))
    assert said[0].startswith("No check is open. I've noted “leaf split” with door 12")
    entry = next(each for each in logbook.entries() if each.kind is EntryKind.NOTED)
    assert (entry.door, entry.body["text"]) == ("12", "leaf split")
    assert entry.body["audio_sha256"] == SHA256


@pytest.mark.parametrize(
    ("transcript", "of"), [("The leaf is split on 14.", "14"), ("Forgot, the leaf's split.", "12")]
)
def test_a_transcript_that_tells_a_fault_is_enough(
    logbook: Logbook, transcript: str, of: str
) -> None:
    signed(logbook).hears(OffGrammar(transcript=transcript, audio_sha256=SHA256))
    assert noted(logbook) == [(of, transcript)]


def test_a_garbled_transcript_is_noted_as_it_was_heard(logbook: Logbook) -> None:
    best = heard_at_end("leaf split")
    signed(logbook).hears(
        OffGrammar(transcript="Leave is lit.", nearest=(best,), audio_sha256=SHA256)
    )
    assert noted(logbook) == [("12", "leaf split")]


@pytest.mark.parametrize("transcript", ["", "Shall we have the", "Door fifteen", "It's fine"])
def test_a_recording_that_tells_no_fault_is_no_note(logbook: Logbook, transcript: str) -> None:
    signed(logbook).hears(OffGrammar(transcript=transcript, audio_sha256=SHA256))
    assert noted(logbook) == []


def old_button(logbook: Logbook, words: str, question: str) -> list[str]:
    buttons = OldButtons("terminal/Robin", "Robin", logbook, UNDERSTANDING)
    check = logbook.position("terminal/Robin")
    assert check is not None
    said = buttons.note_late(words, check.id, question, NOON)
    assert buttons.note_late(words, "another check", question, NOON) == ()
    return [each.text for each in said]


def test_a_fault_on_an_old_button_is_noted_with_its_part(logbook: Logbook) -> None:
    signed(logbook)
    said = old_button(logbook, "split", "leaf.here")
    assert said[0].startswith("No check is open. I've noted “Leaf, this side: split” with door 12")
    assert noted(logbook) == [("12", "Leaf, this side: split")]


@pytest.mark.parametrize(
    ("words", "question"), [("no damage", "leaf.here"), ("yes", "closer.full"), ("skip", "clear")]
)
def test_an_old_button_that_tells_no_fault_is_no_note(
    logbook: Logbook, words: str, question: str
) -> None:
    signed(logbook)
    assert old_button(logbook, words, question) == [] and noted(logbook) == []


def test_an_old_button_of_an_open_check_is_no_note(logbook: Logbook) -> None:
    Window(logbook, "terminal/Robin").says("12")
    assert old_button(logbook, "split", "leaf.here") == [] and noted(logbook) == []
