"""What holds of the messages around a check: random chats against a ledger. Many: make talks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import pytest

from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.logbook.records import EventRecord
from tests.unit.chat_laws import Stand, Step, laws
from tests.unit.chat_ledger import Chat
from tests.unit.chat_room import Room
from tests.unit.talk_lines import Line

FIRST = 1_000_000
"""Other chats than those that the command drives."""


@pytest.mark.parametrize("seed", range(FIRST, FIRST + 3))
def test_no_law_is_broken_in_a_random_chat(tmp_path: Path, seed: int) -> None:
    chat = Chat(tmp_path, seed).run(45)
    assert len(chat.steps) == 45


@pytest.fixture
def stood(tmp_path: Path) -> Stand:
    """Kim at door 12 with a fault told, and a check of door 14 put aside."""
    chat = Chat(tmp_path, 0)
    for words in ("14", "another door", "12", "wedged open", "right and readable"):
        chat.room.send("kim", text=words)
    stand = chat.stand()
    chat.room.close()
    assert stand.here is not None and stand.here.door.number == "12" and len(stand.open) == 2
    return stand


def broken(
    step: Step, before: Stand, after: Stand, entered: Sequence[EventRecord] = ()
) -> set[str]:
    return {law for law, wrong in laws(step, before, after, [*entered]) if wrong}


def test_the_ledger_notices_an_old_button_that_answers(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    forgotten = check.model_copy(update={"answers": {}, "findings": {}})
    after = replace(stood, here=forgotten, open={**stood.open, check.id: forgotten})
    assert "nothing is answered by: old tap" in broken(Step("old tap"), stood, after)


def test_the_ledger_notices_a_check_put_aside_that_changes_or_is_lost(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    [aside] = [each for each in stood.open.values() if each.id != check.id]
    moved = aside.model_copy(update={"open": "frame.here"})
    after = replace(stood, open={**stood.open, aside.id: moved})
    assert "a check put aside stays as it is" in broken(Step("typed"), stood, after)
    lost = replace(stood, open={check.id: check})
    assert "no check is lost" in broken(Step("typed"), stood, lost)


def test_the_ledger_notices_a_reply_that_answers_another_question(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    before = replace(stood, here=check.model_copy(update={"answers": {}, "findings": {}}))
    step = Step("reply", "undamaged", keys=frozenset({"leaf.here"}))
    found = broken(step, before, stood)
    assert {"it answers only what it is about", "nothing passes by it"} <= found


def test_the_ledger_notices_a_signed_fault_that_is_in_no_list(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    signed = replace(stood, here=check.model_copy(update={"stage": Stage.SIGNED}), defects={})
    assert "what is signed is in the defects" in broken(Step("typed"), stood, signed)


def test_the_ledger_notices_a_defect_that_goes_without_a_signature(stood: Stand) -> None:
    before = replace(stood, here=None, open={})
    assert before.defects
    law = "no defect goes but by a signature or its supervisor"
    after = replace(before, defects={})
    assert law in broken(Step("door", "14"), before, after)
    assert law not in broken(Step("Mona", "defect 1 is no fault: ok"), before, after)


def test_the_ledger_notices_what_is_entered_twice_or_otherwise_than_it_came(
    tmp_path: Path, stood: Stand
) -> None:
    (tmp_path / "other").mkdir()
    room = Room(tmp_path / "other")
    for words in ("12", "all clear"):
        room.send("kim", text=words)
    [message] = [each for each in room.logbook.entries() if each.kind is EntryKind.MESSAGE]
    room.close()
    law = "each message is entered once, as it came"
    for words, entered, wrong in (
        ("all clear", [message], False),
        ("all clear", [message, message], True),
        ("wedged open", [message], True),
        ("all clear", [], True),
    ):
        step = Step("typed", words, said=Line(words, "command"))
        assert (law in broken(step, stood, stood, entered)) is wrong
    assert "what was dealt with enters nothing" in broken(Step("twice"), stood, stood, [message])


def test_a_message_delivered_twice_is_answered_once(tmp_path: Path) -> None:
    room = Room(tmp_path)
    raw = room.send("kim", text="12")
    shown = len(room.shown())
    room.take(raw)
    assert len(room.shown()) == shown
    room.close()
