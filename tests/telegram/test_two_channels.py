"""Telegram and a second messenger on one logbook: neither sees the other's messages."""

from __future__ import annotations

import asyncio
import itertools
from contextlib import asynccontextmanager
from datetime import timedelta
from functools import partial

import pytest
from house import BARN, KEY, MONA, NOON, SAM, at_work, done, label, said, settle
from letterbox import NAME, Letterbox
from service import DeafPool, until
from standin import StandIn

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.channels.messenger.retention import KeepingDays
from doorround.channels.messenger.service import Service
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.entries import EntryKind
from doorround.domain.invites import new_code
from doorround.domain.people import Account, Role
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.wiring import make_pooled_talk

INES = "1"
"""Ines's account at the letterbox is called as Mona's is at Telegram."""


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        people = People(logbook)
        code = new_code(b"the second chan!")
        people.invite(code, Role.CARETAKER, (), 7, "Mona", NOON)
        people.open_invite(Account(NAME, INES), code, "Ines", "Do you agree?", NOON)
        people.join(Account(NAME, INES), NOON)
        Chats(logbook).belong(f"{NAME}/{INES}", "Ines")
    return tmp_path


def letterbox_service(home, logbook: Logbook) -> Service:
    chance = itertools.count(100)
    access = Access(logbook, lambda: (KEY,), 90, "", lambda count: bytes([next(chance)]) * count)
    settings = read_settings({"DOORROUND_HOME": str(home)})
    return Service(
        logbook=logbook,
        pool=DeafPool(),
        talk=partial(make_pooled_talk, logbook, settings, load_checklist()),
        access_policy=InvitedAccess(access),
        first_pause=0.02,
        clock=lambda: NOON + timedelta(hours=1),
        kept=KeepingDays(home / "recordings"),
        tick=0.05,
    )


@asynccontextmanager
async def outbounds(home, box: Letterbox, logbook: Logbook):
    """The second channel, at work on the same logbook."""
    stop = asyncio.Event()
    task = asyncio.create_task(box.serve(letterbox_service(home, logbook), stop))
    try:
        yield
    finally:
        stop.set()
        await task


async def test_each_is_answered_where_they_wrote_and_nowhere_else(home):
    box = Letterbox()
    async with StandIn() as server, at_work(home, server) as logbook, outbounds(home, box, logbook):
        update = server.write(SAM, label(BARN))
        # the same id at another messenger is another update
        box.write(INES, "14", id=str(update))
        await until(lambda: box.to(INES))
        await said(server, SAM, "Door 20")
        assert box.to(INES)[0].startswith("Door 14: Alder House")
        assert not any("Door 14" in message["text"] for message in server.sent)
        box.press(INES, box.button(INES, "corridor"))
        await until(lambda: len(box.to(INES)) == 2)
        [answer] = [each for each in logbook.entries() if each.kind is EntryKind.ANSWERED]
        assert (answer.person, answer.body["question"]) == ("Ines", "register.use")
        # Mona's chat has the number that Ines's account is called by
        assert server.to(MONA) == [] and logbook.verify() == []


async def test_what_waits_for_one_is_left_alone_by_the_other(home):
    box = Letterbox()
    with Logbook.open(home / "logbook.db") as logbook:
        outbox = Outbox(logbook)
        for chat in (f"{NAME}/{INES}", f"telegram/{SAM}"):
            outbox.put(chat, f"note for {chat}", 0, Outgoing(f"good day, {chat}"), NOON)
    box.write(INES, "14")
    async with StandIn() as server, at_work(home, server) as logbook:
        await said(server, SAM, f"good day, telegram/{SAM}")
        await done(logbook, server.write(SAM, "hello"))
        [waits] = Outbox(logbook, NAME).next_per_chat()
        assert (waits.chat, waits.state, waits.tries) == (f"{NAME}/{INES}", "waiting", 0)
        assert not any("good day, letterbox" in message["text"] for message in server.sent)
        async with outbounds(home, box, logbook):
            await until(lambda: len(box.to(INES)) == 2)
        assert box.to(INES)[0] == f"good day, {NAME}/{INES}"
        assert box.to(INES)[1].startswith("Door 14")
        assert Inbox(logbook).waiting() == [] and Outbox(logbook).next_per_chat() == []


async def test_what_one_was_in_the_middle_of_is_not_taken_up_by_the_other(home):
    box = Letterbox()
    async with StandIn() as server:
        with Logbook.open(home / "logbook.db") as logbook:
            box.write(INES, "14")
            async with outbounds(home, box, logbook):
                await until(lambda: box.to(INES))
            # a program of the letterbox's begins with an update, and ends before it is through
            ours = Inbox(logbook, NAME)
            id = logbook._rows("SELECT id FROM inbox WHERE channel = ?", NAME)[0][0]
            logbook._db.conn.execute(
                "UPDATE inbox SET outcome = NULL, tries = 1 WHERE id = ?", (id,)
            )
            assert ours.tried() == [id] and Inbox(logbook, "telegram").tried() == []
        async with at_work(home, server) as logbook:
            await done(logbook, server.write(SAM, "hello"))
            assert Inbox(logbook, NAME).tried() == [id]


async def test_a_button_of_one_messenger_does_nothing_at_the_other(home):
    box = Letterbox()
    async with StandIn() as server, at_work(home, server) as logbook, outbounds(home, box, logbook):
        server.write(SAM, label(BARN))
        asked = await said(server, SAM, "Door 20")
        before = logbook.last_seq()
        box.press(INES, asked["buttons"][0]["callback_data"])
        await until(lambda: box.toasts)
        assert logbook.last_seq() == before
        assert logbook.position(f"{NAME}/{INES}") is None


async def test_people_are_reached_at_their_own_messenger(home):
    box = Letterbox()
    async with StandIn() as server, at_work(home, server) as logbook, outbounds(home, box, logbook):
        await done(logbook, server.write(MONA, "/role auditor Ines"))
        await until(lambda: box.to(INES))
        assert box.to(INES) == ["You are now an auditor here. /help"]
        assert not any("You are auditor here" in message["text"] for message in server.sent)
        # its own service sees to its menus, at its next look
        await until(lambda: Chats(logbook).menus(NAME) == {f"{NAME}/{INES}": "auditor"})
        assert f"{NAME}/{INES}" not in Chats(logbook).menus("telegram")


async def test_who_shuts_one_of_them_is_still_reached_by_the_other(home):
    box = Letterbox()
    box.shut.add(INES)
    async with StandIn() as server, at_work(home, server) as logbook, outbounds(home, box, logbook):
        Outbox(logbook).put(f"{NAME}/{INES}", "a", 0, Outgoing("good day"), NOON)
        box.write(INES, "14")
        await until(
            lambda: Chats(logbook)._row("SELECT 1 FROM chats WHERE unreachable IS NOT NULL")
        )
        server.write(SAM, "20")
        await said(server, SAM, "Door 20")
        unreachable = logbook._rows("SELECT chat FROM chats WHERE unreachable IS NOT NULL")
        assert [chat for (chat,) in unreachable] == [f"{NAME}/{INES}"]


async def test_silence_of_one_messenger_is_told_in_its_own_chats_only(home):
    box = Letterbox()
    with Logbook.open(home / "logbook.db") as logbook:
        Chats(logbook).heard(NAME, NOON - timedelta(days=3))
    async with StandIn() as server, at_work(home, server) as logbook, outbounds(home, box, logbook):
        await until(lambda: box.to(INES))
        assert box.to(INES)[0].startswith("I was offline from 25 May, 12:00 UTC.")
        await done(logbook, server.write(SAM, "hello"))
        assert not any("offline" in message["text"] for message in server.sent)
