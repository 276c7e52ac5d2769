"""Reminders and summaries on their way through the running bot: at its start, once, to whom they
are for.
"""

from datetime import UTC, datetime

import pytest
from api_answers import refuse
from service import prepare, serving, until
from standin import StandIn

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.domain.invites import new_code
from doorround.domain.people import Account, Role
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import Ticker

MORNING = datetime(2026, 6, 1, 9, tzinfo=UTC)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


def once(home, now=MORNING):
    """A tick on a logbook of its own connection, as the bot's own would be."""

    def tick(at):
        with Logbook.open(home / "logbook.db") as logbook:
            return Ticker(logbook, Plan()).tick(at)

    return {"remind": tick, "clock": lambda: now}


async def test_what_is_due_is_said_at_the_start_and_once_however_often_it_starts(home):
    async with StandIn() as server:
        for _ in range(2):
            async with serving(home, server, **once(home)):
                await until(lambda: server.to(1))
        [message] = server.to(1)
        assert message["text"].startswith("To be checked: 2 doors.")
        assert [button["text"] for button in message["buttons"]] == ["next door", "snooze"]


async def test_a_supervisor_gets_the_picture_and_its_buttons_lead_on(home):
    evening = datetime(2026, 6, 1, 16, 30, tzinfo=UTC)
    with Logbook.open(home / "logbook.db") as logbook:
        join(logbook, Account("telegram", "9"), Role.SUPERVISOR)
        Chats(logbook).belong("telegram/9", "Sam")

    def invited(logbook):
        return InvitedAccess(Access(logbook, tuple, 90, "", bytes))

    async with (
        StandIn() as server,
        serving(home, server, access_policy=invited, **once(home, evening)),
    ):
        await until(lambda: any("photo" in message for message in server.to(9)))
        [message] = [message for message in server.to(9) if "photo" in message]
        assert message["text"].startswith("Late: ")
        assert message["photo"][:8] == b"\x89PNG\r\n\x1a\n"
        [late] = [button for button in message["buttons"] if button["text"] == "who is late"]
        # however much was said since
        server.write(9, "1")
        await until(lambda: len(server.to(9)) >= 2)
        before = len(server.to(9))
        server.tap(9, late["callback_data"])
        await until(lambda: len(server.to(9)) > before)
        assert server.to(9)[-1]["text"] == "caretaker 1: 2 doors overdue"


def join(logbook, account, role):
    people = People(logbook)
    code = new_code(bytes(16))
    people.invite(code, role, (), 7, "Mona", MORNING)
    people.open_invite(account, code, "Sam", "Do you agree?", MORNING)
    people.join(account, MORNING)


async def test_a_tick_that_fails_does_not_stop_the_bot(home):
    def fail(now):
        raise RuntimeError("no disk")

    async with StandIn() as server, serving(home, server, remind=fail):
        server.write(1, "1")
        await until(lambda: server.to(1))


async def test_without_a_network_until_night_it_comes_in_the_morning_and_answers_go_on_meanwhile(
    home,
):
    now = datetime(2026, 6, 1, 18, 30, tzinfo=UTC)
    down = True

    def mishap(method, given):
        return refuse(502, "Bad Gateway") if down and method == "sendmessage" else None

    with Logbook.open(home / "logbook.db") as logbook:
        ticker = Ticker(logbook, Plan())

        def ticked(at):
            with Logbook.open(home / "logbook.db") as own:
                return Ticker(own, Plan()).tick(at)

        async with StandIn(mishap) as server:
            more = {"clock": lambda: now, "may_come": ticker.may_come}
            async with serving(home, server, remind=ticked, **more):
                await until(lambda: any(method == "sendmessage" for method, _ in server.calls))
            now = datetime(2026, 6, 1, 20, tzinfo=UTC)
            down = False
            async with serving(home, server, remind=ticked, **more):
                server.write(1, "1")
                await until(lambda: server.to(1))
            assert not any("To be checked" in message["text"] for message in server.to(1))
            now = datetime(2026, 6, 2, 8, tzinfo=UTC)
            async with serving(home, server, remind=ticked, **more):
                await until(
                    lambda: any("To be checked" in message["text"] for message in server.to(1))
                )
        assert sum("To be checked" in message["text"] for message in server.to(1)) == 1
