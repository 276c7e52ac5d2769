"""Reminders on their way through the running bot: at its start, once, to the chat of whoever minds the door."""

from datetime import UTC, datetime

import pytest
from service import prepare, serving, until
from standin import StandIn

from bot.domain.schedule.plan import Plan
from bot.logbook.store import Logbook
from bot.reminders.tick import Ticker

MORNING = datetime(2026, 6, 1, 9, tzinfo=UTC)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


def once(home, now=MORNING):
    """A tick on a logbook of its own connection, as the bot's own would be."""

    def tick(at):
        with Logbook.open(home / "logbook.db") as book:
            return Ticker(book, Plan()).tick(at)

    return {"remind": tick, "clock": lambda: now}


async def test_what_is_due_is_said_at_the_start_and_once_however_often_it_starts(home):
    async with StandIn() as server:
        for _ in range(2):
            async with serving(home, server, **once(home)):
                await until(lambda: server.to(1))
        [message] = server.to(1)
        assert message["text"].startswith("To be checked: 2 doors.")
        assert [button["text"] for button in message["buttons"]] == ["next door", "snooze"]


async def test_a_tick_that_fails_does_not_stop_the_bot(home):
    def fail(now):
        raise RuntimeError("no disk")

    async with StandIn() as server, serving(home, server, remind=fail):
        server.write(1, "1")
        await until(lambda: server.to(1))
