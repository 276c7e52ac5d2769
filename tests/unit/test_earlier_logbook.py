"""A logbook that the bot kept while Telegram was its only channel, opened now: nothing is lost.

`logbook_of_one_channel.db.gz` is such a file: Mona supervises, Kim and Sam check, Ada reads. Sam
signed a check of door 14 and is in the middle of one of door 20; Kim is looking for a door. Update
156 was begun when the program ended, and 158 waits for its file.
"""

from __future__ import annotations

import gzip
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox, NewUpdate
from doorround.logbook.message_effects import MessageEffects
from doorround.logbook.opening import reading
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

KEPT = Path(__file__).with_name("logbook_of_one_channel.db.gz")
MONA = "telegram/1"
KIM = "telegram/2"
SAM = "telegram/3"
NOON = datetime(2026, 5, 28, 12, 0, tzinfo=UTC)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    path = tmp_path / "logbook.db"
    path.write_bytes(gzip.decompress(KEPT.read_bytes()))
    return path


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path) as logbook:
        yield logbook


def rows(path: Path, sql: str) -> list[tuple[object, ...]]:
    conn = sqlite3.connect(path)
    try:
        return conn.execute(sql).fetchall()
    finally:
        conn.close()


def test_it_is_whole_and_says_what_it_said(path: Path) -> None:
    before = rows(path, "SELECT * FROM entries ORDER BY seq")
    with Logbook.open(path) as logbook:
        assert logbook.verify() == []
        assert [person.name for person in logbook.people()] == ["Mona", "Kim", "Sam", "Ada"]
        assert [door.number for door in logbook.doors()] == ["14", "20"]
    assert rows(path, "SELECT * FROM entries ORDER BY seq") == before


def test_it_may_be_read_as_it_is_without_being_changed(path: Path) -> None:
    before = path.read_bytes()
    with reading(path) as reader:
        assert len(reader.checks()) == 2
    assert path.read_bytes() == before


def test_what_came_in_is_telegrams_and_waits_in_its_order(logbook: Logbook) -> None:
    inbox = Inbox(logbook, "telegram")
    waiting = [inbox.open(id) for id, _ in inbox.waiting()]
    assert [(each.update_id, each.chat) for each in waiting if each] == [("156", SAM), ("158", KIM)]
    assert [each.channel for each in waiting if each] == ["telegram", "telegram"]
    begun = [inbox.open(id) for id in inbox.tried()]
    assert [each.update_id for each in begun if each] == ["156"]
    assert waiting[1] is not None and waiting[1].body["message"]["text"] == "20"


def test_an_update_kept_before_is_not_taken_in_again(logbook: Logbook) -> None:
    inbox = Inbox(logbook, "telegram")
    assert inbox.store([NewUpdate("105", SAM, {}), NewUpdate("158", KIM, {})], NOON) == []
    # the same id of another messenger is another update
    assert len(Inbox(logbook, "matrix").store([NewUpdate("105", "matrix/3", {})], NOON)) == 1


def test_what_goes_out_keeps_its_numbers_its_order_and_its_state(logbook: Logbook) -> None:
    outbox = Outbox(logbook, "telegram")
    assert [(each.id, each.key) for each in outbox.next_per_chat()] == [
        (23, "telegram:158/later"),
        (24, "nudge/Mona/2026-05-28"),
    ]
    # that program called the kind of a reminder "calm"
    [nudge] = outbox.deferrable()
    assert (nudge.key, nudge.body.reminder) == ("nudge/Mona/2026-05-28", "nudge")
    sent = outbox.outbound(13)
    assert sent is not None
    assert (sent.state, sent.channel, sent.key) == ("sent", "telegram", "telegram:126/0")
    assert sent.body.text == "Door 20: Barn.\nUse?" and sent.body.taps[0] == "corridor"
    assert sent.message_id is not None and outbox.by_message(SAM, sent.message_id) == sent
    assert outbox.by_key("telegram:126/0") == sent


def test_no_number_that_a_button_may_carry_is_given_out_twice(path: Path) -> None:
    conn = sqlite3.connect(path)
    conn.execute("DELETE FROM outbox")
    conn.commit()
    conn.close()
    with Logbook.open(path) as logbook:
        outbox = Outbox(logbook)
        assert outbox.put(SAM, "new", 0, Outgoing("good day"), NOON)
        assert [each.id for each in outbox.all(SAM)] == [25]


def test_a_message_to_be_sent_still_answers_the_one_it_answered(path: Path) -> None:
    conn = sqlite3.connect(path)
    conn.execute("UPDATE outbox SET body = json_set(body, '$.reply_to', 57) WHERE id = 23")
    conn.commit()
    conn.close()
    with Logbook.open(path) as logbook:
        later = Outbox(logbook).outbound(23)
        assert later is not None and later.body.reply_to == "57"


def test_what_messages_gave_is_known_by_the_messengers_ids(logbook: Logbook) -> None:
    effects = MessageEffects(logbook)
    for message in ("4", "28"):
        given = effects.of(SAM, message)
        assert given is not None and given.answers == ("register.use#1",)
    assert effects.of(SAM, "5") is None


def test_each_talk_stands_where_it_stood(logbook: Logbook) -> None:
    check = logbook.position(SAM)
    assert check is not None and check.door.number == "20" and not check.closed
    seeking = logbook.door_search(KIM)
    assert seeking is not None and seeking.misses == 1
    said = logbook.already(SAM, "129")
    assert said is not None and said[0].text == "Rating?"
    assert (
        Chats(logbook).turn(SAM) == 16 and Chats(logbook).address("telegram/-9") == "telegram/-1009"
    )
    assert Chats(logbook).menus("telegram")[MONA] == "supervisor"


def test_nothing_is_called_by_its_old_name(path: Path) -> None:
    Logbook.open(path).close()
    names = rows(path, "SELECT name FROM sqlite_master")
    assert not {"heard", "seeking", "gave", "standing", "visited"} & {
        str(name) for (name,) in names
    }
