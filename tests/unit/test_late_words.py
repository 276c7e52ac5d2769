"""A fault or a note typed once the check is over is not taken for a door's name, and is kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from talk_window import Window, furnish

from doorround.domain.entries import EntryKind
from doorround.logbook.store import Logbook


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
