"""Long messages, and many of them: bounded, answered clearly, and nobody else waits for them."""

from __future__ import annotations

import pytest
from media import MediaStandIn, add_known_door
from service import prepare, serving, until

from doorround.channels.messenger.inbound.dispatcher import PerChatQueue
from doorround.domain.entries import EntryKind
from doorround.messages.recordings import DOOR_TOO_LONG as NO_DOOR
from doorround.messages.recordings import TOO_MUCH_SAID as NO_ANSWER


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    add_known_door(tmp_path)
    return tmp_path


LONG = [
    "1234567890" * 409,
    "1 " * 2048,
    "hinges " * 585,
    "x" * 4096,
    "twenty one " * 372,
    "undamagedd " * 372,
]


async def test_long_messages_keep_nobody_waiting_and_get_a_clear_line(home):
    async with MediaStandIn() as server, serving(home, server):
        await server.talk(2, "1")  # everything is ready then
        for text in LONG * 2:
            server.say(1, text)
        server.say(2, "undamaged")
        waited = len(server.to(2))
        await until(lambda: len(server.to(2)) > waited)
        answered = len(server.to(1))
        # dealt with in turn: not behind all that the other sent
        assert answered < len(LONG)
        await until(lambda: len(server.to(1)) == 2 * len(LONG))
        assert all(NO_DOOR in text for text in server.shown(1))


async def test_a_long_answer_at_a_question_gets_a_clear_line_and_a_long_note_is_kept(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        words = "hinges " * 580
        await server.talk(1, f"note {words}")
        [note] = [entry for entry in logbook.entries() if entry.kind is EntryKind.NOTED]
        assert note.body["text"].strip() == words.strip()
        for text in ("1 " * 2048, "undamagedd " * 372):
            await server.talk(1, text)
        await until(lambda: sum(NO_ANSWER in each["text"] for each in server.to(1)) == 2)


async def test_a_chat_that_sends_much_lets_others_have_their_turn():
    dealt: list[int] = []

    async def handle(id: int) -> None:
        dealt.append(id)

    queue = PerChatQueue(handle)
    queue.arrived([(id, "much") for id in range(100)] + [(1000, "other")])
    await queue.quiet()
    assert dealt.index(1000) <= 2 and len(dealt) == 101
