"""Many chats at once: how much is on its way together, and how seldom the disk is waited for."""

import asyncio

import pytest
from service import prepare, serving, until
from standin import StandIn

from doorround.channels.messenger.outbound.sender import MAX_FLYING
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

CHATS = 60


class SlowStandIn(StandIn):
    """Takes its time for each message, and counts how many it is handed at once."""

    def __init__(self) -> None:
        super().__init__()
        self.open = 0
        self.most = 0
        self.go = asyncio.Event()

    async def _sendmessage(self, given):
        self.open += 1
        self.most = max(self.most, self.open)
        await self.go.wait()
        self.open -= 1
        return await super()._sendmessage(given)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, CHATS)
    with Logbook.open(tmp_path / "logbook.db") as logbook, logbook.writing():
        for chat in range(1, CHATS + 1):
            body = Outgoing(f"Good day {chat}")
            Outbox(logbook).put(
                f"telegram/{chat}", f"test/{chat}", 0, body, logbook.entries()[0].at
            )
    return tmp_path


async def test_what_is_on_its_way_leaves_connections_for_fetching_and_taps(home):
    async with SlowStandIn() as server, serving(home, server) as logbook:
        await until(lambda: server.open == MAX_FLYING)
        # a tap is answered although nothing that is being sent arrives
        server.tap(1, "t1.0.0")
        await until(lambda: any(method == "answercallbackquery" for method, _ in server.calls))
        assert server.most == MAX_FLYING < CHATS
        server.go.set()
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert {message["text"] for message in server.sent} >= {
            f"Good day {chat}" for chat in range(1, CHATS + 1)
        }


async def test_messages_that_go_or_arrive_together_are_marked_in_one_transaction(home):
    commits = []
    async with SlowStandIn() as server, serving(home, server) as logbook:
        logbook._db.conn.set_trace_callback(
            lambda sql: commits.append(sql) if sql == "COMMIT" else None
        )
        await until(lambda: server.open == MAX_FLYING)
        server.go.set()
        await until(lambda: not Outbox(logbook).next_per_chat())
        logbook._db.conn.set_trace_callback(None)
    # each by itself would be two
    assert len(server.sent) == CHATS and len(commits) < CHATS
