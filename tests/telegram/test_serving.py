"""The bot and a Bot API server, over HTTP: what a caretaker sees, and what must never happen."""

import asyncio
import random

import pytest
from api_answers import refuse, trouble
from media import settled
from service import DeafPool, prepare, runs, serving, until
from standin import StandIn

from doorround.channels.telegram.transport.polling import Poller, TokenRefused
from doorround.domain.entries import EntryKind
from doorround.messages.receiving import NOT_KNOWN, STALE_BUTTON


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 3)
    return tmp_path


async def test_a_known_caretaker_types_a_door_and_taps_an_answer(home):
    async with StandIn() as server, serving(home, server) as logbook:
        server.write(1, "1")
        await until(lambda: server.to(1))
        first = server.to(1)[0]
        assert first["text"].startswith("Door 1")
        server.tap(1, first["buttons"][0]["callback_data"])
        await until(lambda: len(server.to(1)) == 2)
        answered = [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]
        assert len(answered) == 1
        assert answered[0].body["by"] == "tap"
        assert answered[0].person == "caretaker 1"


async def test_a_stale_tap_answers_nothing_and_asks_nothing_twice(home):
    async with StandIn() as server, serving(home, server) as logbook:
        server.write(1, "1")
        await until(lambda: server.to(1))
        button = server.to(1)[0]["buttons"][0]["callback_data"]
        server.tap(1, button)
        server.tap(1, button)
        await until(
            lambda: len([each for each in server.calls if each[0] == "answercallbackquery"]) == 2
        )
        await until(lambda: len(server.to(1)) == 2)
        await settled(logbook)
        assert [each for each in server.calls if each[0] == "answercallbackquery"][1][1][
            "text"
        ] == STALE_BUTTON
        assert len(server.to(1)) == 2
        assert sum(entry.kind is EntryKind.ANSWERED for entry in logbook.entries()) == 1


async def test_a_voice_note_is_fetched_heard_and_answered_as_a_reply(home):
    pool = DeafPool()
    async with StandIn() as server, serving(home, server, pool):
        server.voice(2, b"a recording")
        await until(lambda: server.to(2))
        assert pool.heard == [b"a recording"]
        assert "reply_parameters" in server.to(2)[0]["given"]
        assert any(method == "sendchataction" for method, _ in server.calls)


async def test_somebody_unknown_gets_one_line_however_often_they_write(home):
    async with StandIn() as server, serving(home, server) as logbook:
        for text in ("hello", "1", "yes"):
            server.write(99, text)
        server.write(1, "1")
        await until(lambda: server.to(1) and server.to(99))
        assert [message["text"] for message in server.to(99)] == [NOT_KNOWN]
        assert {entry.person for entry in logbook.entries()} == {
            "Mona",
            "caretaker 1",
            "caretaker 2",
            "caretaker 3",
        }


MALFORMED = [
    None,
    5,
    "text",
    [],
    {},
    {"update_id": "7"},
    {"update_id": True},
    {"update_id": -1},
    {"update_id": 2**70},
    {"update_id": 50},
    {"update_id": 51, "message": None},
    {"update_id": 52, "message": []},
    {"update_id": 53, "message": {"message_id": 1}},
    {
        "update_id": 54,
        "message": {"message_id": 1, "date": 1, "chat": {"id": 2**80, "type": "private"}},
    },
    {
        "update_id": 55,
        "message": {"message_id": 1, "date": -9, "chat": {"id": 1, "type": "private"}},
    },
    {"update_id": 56, "callback_query": {"id": "", "from": {"id": 1}}},
    {"update_id": 57, "callback_query": {"id": "1", "from": {"id": 1}, "data": "x" * 65}},
    {"update_id": 58, "poll": {"id": "1"}},
    {
        "update_id": 59,
        "message": {
            "message_id": 1,
            "date": 1,
            "chat": {"id": 1, "type": "private"},
            "from": {"id": 1, "first_name": "I"},
            "text": "\ud800",
        },
    },
]


async def test_malformed_updates_of_every_kind_stop_nobody(home):
    async with StandIn() as server, serving(home, server):
        for update in MALFORMED:
            server.give_raw(update)
        server.write(1, "1")
        await until(lambda: any("Door 1" in message["text"] for message in server.to(1)))


async def test_an_update_given_again_after_it_was_confirmed_is_dealt_with_once(home):
    async with StandIn() as server, serving(home, server) as logbook:
        server.write(1, "1")
        again = dict(server.updates[-1])
        await until(lambda: server.to(1))
        server.give_raw(again)
        server.write(2, "2")
        await until(lambda: server.to(2))
        assert len(server.to(1)) == 1
        assert sum(entry.kind is EntryKind.CHECK_STARTED for entry in logbook.entries()) == 2


async def test_what_was_sent_while_the_bot_was_off_is_taken_in_order(home):
    async with StandIn() as server:
        for text in ("1", "undamaged", "skip"):
            server.write(1, text)
        async with serving(home, server):
            await until(lambda: len(server.to(1)) == 3)
        assert server.to(1)[0]["text"].startswith("Door 1")


@pytest.mark.parametrize("seconds", (1, 3600))
async def test_slower_holds_that_chat_alone_and_as_long_as_it_says(home, seconds):
    held = []
    came = {}

    def mishap(method, given):
        if method == "sendmessage" and given["chat_id"] == "1" and not held:
            held.append(asyncio.get_running_loop().time())
            return refuse(429, f"Too Many Requests: retry after {seconds}", retry_after=seconds)
        return None

    async with StandIn(mishap) as server, serving(home, server):
        server.on_sent = lambda message: came.setdefault(
            message["chat_id"], asyncio.get_running_loop().time()
        )
        server.write(1, "1")
        await until(lambda: held)
        server.write(2, "2")
        await until(lambda: 2 in came and (seconds > 1 or 1 in came))
        assert (1 in came) == (seconds == 1)
        assert seconds > 1 or came[1] - held[0] >= 1.0


async def test_a_blocked_bot_sends_no_more_and_the_others_go_on(home):
    def mishap(method, given):
        blocked = method == "sendmessage" and given["chat_id"] == "1"
        return refuse(403, "Forbidden: bot was blocked by the user") if blocked else None

    async with StandIn(mishap) as server, serving(home, server) as logbook:
        server.write(1, "1")
        server.write(2, "2")
        await until(lambda: server.to(2))
        await settled(logbook)
        server.write(2, "help")
        await until(lambda: len(server.to(2)) == 2)
        assert (
            sum(
                method == "sendmessage" and given["chat_id"] == "1"
                for method, given in server.calls
            )
            == 1
        )


async def test_a_message_follows_a_chat_that_was_moved(home):
    def mishap(method, given):
        moved = method == "sendmessage" and given["chat_id"] == "1"
        return (
            refuse(400, "Bad Request: group chat was upgraded", migrate_to_chat_id=-1001)
            if moved
            else None
        )

    async with StandIn(mishap) as server, serving(home, server):
        server.write(1, "1")
        await until(lambda: server.to(-1001))


async def test_a_hanging_poll_is_begun_anew(home):
    hung = []
    over = asyncio.Event()

    class Hanging(StandIn):
        async def _getupdates(self, given):
            if not hung:
                hung.append(1)
                await over.wait()
            return await super()._getupdates(given)

    async with Hanging() as server, serving(home, server, stall=0.2):
        server.write(1, "1")
        await until(lambda: server.to(1))
        assert hung and not over.is_set()
        over.set()


async def test_trouble_of_every_kind_loses_nothing(home):
    async with StandIn(trouble(random.Random(4), 0.3)) as server, serving(home, server):
        for text in ("1", "undamaged", "skip", "help"):
            server.write(1, text)
        await until(lambda: len(server.to(1)) >= 4)


async def test_a_token_that_is_refused_ends_the_service_without_showing_it(home):
    async with StandIn(lambda method, given: refuse(401, "Unauthorized")) as server:
        with pytest.raises(TokenRefused) as refused:
            await runs(home, server)
        assert "Secret" not in str(refused.value)


async def test_a_start_without_a_network_keeps_trying_and_says_so_once(home, caplog, monkeypatch):
    tried = []
    server = StandIn()
    paused = Poller._pause

    async def pause(self, why, least=0.0):
        tried.append(why)
        await paused(self, why, least)

    monkeypatch.setattr(Poller, "_pause", pause)
    async with server:
        pass
    async with serving(home, server):
        await until(lambda: len(tried) >= 4)
    assert sum("cannot be reached" in record.message for record in caplog.records) == 1


async def test_the_service_waits_for_no_poll_when_it_stops(home):
    async with StandIn() as server:
        async with serving(home, server, long=3000):
            await until(lambda: server.calls)
            began = asyncio.get_running_loop().time()
        # a tenth of the poll's length is enough for any machine
        assert asyncio.get_running_loop().time() - began < 300
