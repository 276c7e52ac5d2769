"""Becoming known on Telegram: a code, a line to agree to, and nothing for anybody else."""

from datetime import timedelta

import pytest
from service import NOON, prepare, serving, until
from standin import StandIn

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.inbound.invited_access import InvitedAccess
from doorround.domain.people import Account, Role
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages.people import POLITE

CODE = "kx7m-2p4d-9wrt-h3cn"


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    return tmp_path


def access_policy(logbook):
    return InvitedAccess(Access(logbook, tuple, 90, "", lambda count: bytes(count)))


def invite(home, role):
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).invite(CODE, role, (), 3650, "Mona", NOON)


async def test_a_caretaker_joins_by_a_code_and_checks_a_door(home):
    invite(home, Role.CARETAKER)
    async with StandIn() as server, serving(home, server, access_policy=access_policy) as logbook:
        server.write(77, "hello")
        server.write(77, CODE)
        await until(lambda: len(server.to(77)) == 2)
        assert server.to(77)[0]["text"] == POLITE
        assert {person.name for person in logbook.people()} == {"caretaker 1"}
        agree = server.to(77)[1]["buttons"][0]
        assert agree["text"] == "I agree"
        server.tap(77, agree["callback_data"])
        await until(lambda: len(server.to(77)) == 3)
        server.write(77, "1")
        await until(lambda: len(server.to(77)) == 4)
        assert server.to(77)[3]["text"].startswith("Door 1")


async def test_an_auditor_joins_and_may_not_check(home):
    invite(home, Role.AUDITOR)
    async with StandIn() as server, serving(home, server, access_policy=access_policy):
        for text in (CODE, "yes", "1"):
            server.write(77, text)
        await until(lambda: len(server.to(77)) == 3)
        assert server.to(77)[2]["text"].startswith("Door 1")
        assert "Never fully checked" in server.to(77)[2]["text"]
        assert [each["text"] for each in server.to(77)[2]["buttons"]] == ["answers of door 1"]


async def test_a_wrong_code_makes_nobody_known(home):
    invite(home, Role.CARETAKER)
    async with StandIn() as server, serving(home, server, access_policy=access_policy) as logbook:
        for text in ("aaaa-bbbb-cccc-dddd", "yes", "1"):
            server.write(77, text)
        await until(lambda: server.to(77))
        assert {person.name for person in logbook.people()} == {"caretaker 1"}


def on_disk(home):
    return b"".join(path.read_bytes() for path in sorted(home.iterdir()) if path.is_file())


async def test_of_who_declines_nothing_is_kept(home):
    invite(home, Role.CARETAKER)
    async with StandIn() as server, serving(home, server, access_policy=access_policy) as logbook:
        for text in ("a word from Ines", CODE):
            server.write(779911, text)
        await until(lambda: len(server.to(779911)) == 2)
        assert b"779911" in on_disk(home) and b"Ines" in on_disk(home)
        server.write(779911, "no")
        await until(
            lambda: len(server.to(779911)) == 3 and not Outbox(logbook).all("telegram/779911")
        )
        assert server.to(779911)[2]["text"].startswith("Nothing about you is kept.")
        await until(lambda: not Inbox(logbook).waiting())
        Inbox(logbook).sweep()
        for told in (b"779911", b"Ines", b"a word", CODE.encode()):
            assert told not in on_disk(home)
        server.write(779911, CODE)
        await until(lambda: len(server.to(779911)) == 4)
        assert "Do you agree?" in server.to(779911)[3]["text"]


async def test_what_strangers_write_is_not_kept_once_it_is_answered(home):
    async with StandIn() as server, serving(home, server, access_policy=access_policy) as logbook:
        server.write(779911, "a word from Ines")
        server.give(
            my_chat_member={
                "chat": {"id": 779911, "type": "private", "first_name": "Ines"},
                "date": 1,
                "from": {"id": 779911, "is_bot": False, "first_name": "Ines"},
                "new_chat_member": {
                    "status": "kicked",
                    "user": {"id": 1, "is_bot": True, "first_name": "b"},
                },
            }
        )
        await until(lambda: server.to(779911))
        await until(lambda: not Inbox(logbook).waiting())
        Inbox(logbook).sweep()
        assert b"a word" not in on_disk(home) and b"Ines" not in on_disk(home)


async def test_who_never_answers_is_forgotten_with_the_messages(home):
    invite(home, Role.CARETAKER)
    with Logbook.open(home / "logbook.db") as logbook:
        People(logbook).open_invite(Account("telegram", "77"), CODE, "Ines", "Do you agree?", NOON)
        People(logbook).forget_undecided(NOON)
        assert People(logbook).joining(Account("telegram", "77")) is not None
        People(logbook).forget_undecided(NOON + timedelta(seconds=1))
        assert People(logbook).joining(Account("telegram", "77")) is None
