"""When the network, Telegram or the bot itself is away: what is said, how often, and that nothing
is lost.
"""

import asyncio
import logging
from datetime import UTC, datetime, timedelta
from functools import partial

import pytest
from api_answers import Half, refuse
from service import DeafPool, prepare, serving, until
from standin import StandIn

from doorround.domain.entries import EntryKind
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.messages.receiving import RECORDING_TOO_BIG

serving = partial(serving, long=0.1)
"""Polls of a tenth of a second: what waits for one that brought nothing does not wait long."""

START = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


def away(server):
    return [
        (message["chat_id"], message["text"])
        for message in server.sent
        if "offline" in message["text"]
    ]


async def polled(server):
    calls = len(server.calls)
    await until(lambda: any(method == "getupdates" for method, _ in server.calls[calls + 1 :]))


async def test_after_more_than_a_day_off_each_known_person_is_told_once(home):
    async with StandIn() as server:
        async with serving(home, server, clock=lambda: START):
            await polled(server)
        assert away(server) == []
        for hours in (49, 50):
            async with serving(
                home, server, clock=lambda hours=hours: START + timedelta(hours=hours)
            ):
                await until(lambda: len(away(server)) == 2)
                await polled(server)
        text = (
            "I was offline from 01 June, 08:00 UTC. What was sent before 02 June, 09:00 UTC"
            " may be missing"
        )
        assert {chat for chat, _ in away(server)} == {1, 2}
        assert all(said.startswith(text) for _, said in away(server))


async def test_a_day_off_or_less_loses_nothing_and_says_nothing(home):
    async with StandIn() as server:
        for hours in (0, 24):
            async with serving(
                home, server, clock=lambda hours=hours: START + timedelta(hours=hours)
            ):
                await polled(server)
        assert server.sent == []


async def test_a_day_without_the_network_counts_although_the_bot_was_running(home):
    now = START
    down = False

    def mishap(method, given):
        return refuse(502, "Bad Gateway") if down else None

    async with StandIn(mishap) as server, serving(home, server, clock=lambda: now):
        await polled(server)
        down = True
        await until(lambda: server.mishaps)
        now += timedelta(hours=30)
        down = False
        await until(lambda: len(away(server)) == 2)


async def test_a_poll_that_is_told_to_wait_waits_as_long(home):
    polls = []

    def mishap(method, given):
        if method == "getupdates":
            polls.append(asyncio.get_running_loop().time())
            if len(polls) == 1:
                return refuse(429, "Too Many Requests: retry after 1", retry_after=1)
        return None

    async with StandIn(mishap) as server, serving(home, server):
        await until(lambda: len(polls) > 1)
    assert polls[1] - polls[0] >= 1.0


async def test_a_server_that_fails_for_a_while_is_named_once_and_reached_again(home, caplog):
    caplog.set_level(logging.INFO)
    fails = iter(range(6))

    def mishap(method, given):
        return (
            refuse(502, "Bad Gateway")
            if method == "getupdates" and next(fails, None) is not None
            else None
        )

    async with StandIn(mishap) as server, serving(home, server):
        server.write(1, "1")
        await until(lambda: server.to(1))
    said = [record.message for record in caplog.records]
    assert sum("cannot be reached" in line for line in said) == 1
    assert sum("reachable again" in line for line in said) == 1


async def test_another_program_with_this_token_is_named_and_waited_for(home, caplog):
    other = [True]

    def mishap(method, given):
        if method == "getupdates" and other:
            return refuse(409, "Conflict: terminated by other getUpdates request")
        return None

    async with StandIn(mishap) as server, serving(home, server):
        server.write(1, "1")
        await until(lambda: any("another program" in record.message for record in caplog.records))
        other.clear()
        await until(lambda: server.to(1))


async def test_half_a_recording_is_fetched_again_and_never_heard(home):
    halves = [Half()]

    def mishap(method, given):
        return halves.pop() if method == "file" and halves else None

    pool = DeafPool()
    async with StandIn(mishap) as server, serving(home, server, pool):
        server.voice(1, b"three hinges, all tight")
        await until(lambda: server.to(1))
        assert halves == []
        assert pool.heard == [b"three hinges, all tight"]


class StuckPool(DeafPool):
    """Never done with a recording."""

    async def hear(self, recording, wanted):
        self.heard.append(recording)
        await asyncio.Event().wait()


async def test_a_stop_in_the_middle_of_a_recording_leaves_it_for_the_next_start(home):
    stuck = StuckPool()
    pool = DeafPool()
    async with StandIn() as server:
        async with serving(home, server, stuck) as logbook:
            server.write(1, "1")
            await until(lambda: server.to(1))
            server.voice(1, b"a recording")
            await until(lambda: stuck.heard)
            before = len(list(logbook.entries()))
        with Logbook.open(home / "logbook.db") as logbook:
            assert len(list(logbook.entries())) == before
            assert len(Inbox(logbook).waiting()) == 1
            assert Outbox(logbook).next_per_chat() == []
        async with serving(home, server, pool) as logbook:
            await until(lambda: len(server.to(1)) == 2)
            assert pool.heard == [b"a recording"]
            assert Inbox(logbook).waiting() == []


async def test_a_message_on_its_way_at_the_stop_arrives_once(home):
    async with StandIn() as server:
        slow = asyncio.Event()
        handed_on = server._sendmessage

        async def late(given):
            slow.set()
            await asyncio.sleep(0.2)
            return await handed_on(given)

        server._sendmessage = late
        async with serving(home, server):
            server.write(1, "1")
            await slow.wait()
        assert len(server.to(1)) == 1
        async with serving(home, server) as logbook:
            await polled(server)
            assert Outbox(logbook).last("telegram/1").state == "sent"
        assert len(server.to(1)) == 1


async def test_who_blocked_the_bot_is_written_to_again_once_they_write(home):
    blocked = [True]

    def mishap(method, given):
        shut = method == "sendmessage" and given["chat_id"] == "1" and blocked
        return refuse(403, "Forbidden: bot was blocked by the user") if shut else None

    async with StandIn(mishap) as server, serving(home, server) as logbook:
        server.write(1, "1")
        await until(lambda: [chat for chat, _ in Chats(logbook).of_people()] == ["telegram/2"])
        assert Outbox(logbook).next_per_chat() == []
        blocked.clear()
        server.write(1, "help")
        await until(lambda: server.to(1))
        assert len(Chats(logbook).of_people()) == 2
        assert sum(entry.kind is EntryKind.CHECK_STARTED for entry in logbook.entries()) == 1


async def test_a_recording_that_is_too_big_is_never_fetched(home):
    pool = DeafPool()
    async with StandIn() as server, serving(home, server, pool):
        for size in ({"file_size": 20_000_001}, {}):
            server.voice(1, b"")
            voice = server.updates[-1]["message"]["voice"]
            voice.update(size)
            server.files[voice["file_id"]] = b"x" * 20_000_001
        await until(lambda: len(server.to(1)) == 2)
        assert [message["text"].partition("\n")[0] for message in server.to(1)] == [
            RECORDING_TOO_BIG,
            RECORDING_TOO_BIG,
        ]
        assert pool.heard == []
