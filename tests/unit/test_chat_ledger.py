"""What holds of the messages around a check: random chats against a ledger. Many: make talks."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from doorround.domain.check import Stage
from tests.unit.chat_laws import Stand, Step, laws
from tests.unit.chat_ledger import Chat
from tests.unit.chat_room import Room

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


def broken(step: Step, before: Stand, after: Stand) -> set[str]:
    return {law for law, wrong in laws(step, before, after, []) if wrong}


def test_it_notices_an_old_button_that_answers(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    forgotten = check.model_copy(update={"answers": {}, "findings": {}})
    after = replace(stood, here=forgotten, open={**stood.open, check.id: forgotten})
    assert "nothing is answered by: old tap" in broken(Step("old tap"), stood, after)


def test_it_notices_a_check_put_aside_that_changes_or_is_lost(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    [aside] = [each for each in stood.open.values() if each.id != check.id]
    moved = aside.model_copy(update={"open": "frame.here"})
    after = replace(stood, open={**stood.open, aside.id: moved})
    assert "a check put aside stays as it is" in broken(Step("typed"), stood, after)
    lost = replace(stood, open={check.id: check})
    assert "no check is lost" in broken(Step("typed"), stood, lost)


def test_it_notices_a_reply_that_answers_another_question(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    before = replace(stood, here=check.model_copy(update={"answers": {}, "findings": {}}))
    step = Step("reply", "undamaged", keys=frozenset({"leaf.here"}))
    found = broken(step, before, stood)
    assert {"it answers only what it is about", "nothing passes by it"} <= found


def test_it_notices_a_signed_fault_that_is_in_no_list(stood: Stand) -> None:
    check = stood.here
    assert check is not None
    signed = replace(stood, here=check.model_copy(update={"stage": Stage.SIGNED}), defects={})
    assert "what is signed is in the defects" in broken(Step("typed"), stood, signed)


def test_a_message_delivered_twice_is_answered_once(tmp_path: Path) -> None:
    room = Room(tmp_path)
    raw = room.send("kim", text="12")
    shown = len(room.shown())
    room.take(raw)
    assert len(room.shown()) == shown
    room.close()
