"""The outbox: what was written first goes out first, of each chat and of each turn of a talk."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

NOON = datetime(2026, 3, 2, 12, 0, tzinfo=UTC)
INES = "telegram/1"
SAM = "telegram/2"


@pytest.fixture
def outbox(tmp_path: Path) -> Iterator[Outbox]:
    """Three messages to Ines, of two turns of her talk, and one to Sam between them."""
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        outbox = Outbox(logbook)
        for key, chat, turn in (
            ("echo", INES, 4),
            ("to Sam", SAM, 4),
            ("question", INES, 4),
            ("next", INES, 5),
        ):
            assert outbox.put(chat, key, turn, Outgoing(key), NOON)
        yield outbox


def test_of_each_chat_the_oldest_goes_first(outbox: Outbox) -> None:
    assert [each.key for each in outbox.next_per_chat()] == ["echo", "to Sam"]
    [echo, _] = outbox.next_per_chat()
    outbox.sent({echo.id: "71"})
    assert [each.key for each in outbox.next_per_chat()] == ["to Sam", "question"]


def test_what_was_written_in_one_turn_comes_in_the_order_written(outbox: Outbox) -> None:
    assert [each.key for each in outbox.of_turn(INES, 4)] == ["echo", "question"]
    assert [each.key for each in outbox.all(INES)] == ["echo", "question", "next"]


def test_the_same_key_is_written_once(outbox: Outbox) -> None:
    assert not outbox.put(INES, "echo", 6, Outgoing("echo"), NOON)
    last = outbox.last(INES)
    assert last is not None and last.key == "next"
