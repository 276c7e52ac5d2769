"""Becoming known on Telegram: a code, a line to agree to, and nothing for anybody else."""

import pytest
from service import NOON, prepare, serving, until
from standin import StandIn

from bot.channels.reception import Reception
from bot.channels.telegram.reception import Invited
from bot.domain.people import Role
from bot.domain.strangers import POLITE
from bot.logbook.people import People
from bot.logbook.store import Logbook

CODE = "kx7m-2p4d-9wrt-h3cn"


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 1)
    return tmp_path


def reception(book):
    return Invited(Reception(book, tuple, 90, "", lambda count: bytes(count)))


def invite(home, role):
    with Logbook.open(home / "logbook.db") as book:
        People(book).invite(CODE, role, (), 3650, "Mona", NOON)


async def test_a_caretaker_joins_by_a_code_and_checks_a_door(home):
    invite(home, Role.CARETAKER)
    async with StandIn() as server, serving(home, server, reception=reception) as book:
        server.write(77, "hello")
        server.write(77, CODE)
        await until(lambda: len(server.to(77)) == 2)
        assert server.to(77)[0]["text"] == POLITE
        assert {person.name for person in book.people()} == {"caretaker 1"}
        agree = server.to(77)[1]["buttons"][0]
        assert agree["text"] == "I agree"
        server.tap(77, agree["callback_data"])
        await until(lambda: len(server.to(77)) == 3)
        server.write(77, "1")
        await until(lambda: len(server.to(77)) == 4)
        assert server.to(77)[3]["text"].startswith("Door 1")


async def test_an_auditor_joins_and_may_not_check(home):
    invite(home, Role.AUDITOR)
    async with StandIn() as server, serving(home, server, reception=reception):
        for text in (CODE, "yes", "1"):
            server.write(77, text)
        await until(lambda: len(server.to(77)) == 3)
        assert server.to(77)[2]["text"].startswith("Door 1")
        assert "Never checked" in server.to(77)[2]["text"]
        assert not server.to(77)[2]["buttons"]


async def test_a_wrong_code_makes_nobody_known(home):
    invite(home, Role.CARETAKER)
    async with StandIn() as server, serving(home, server, reception=reception) as book:
        for text in ("aaaa-bbbb-cccc-dddd", "yes", "1"):
            server.write(77, text)
        await until(lambda: server.to(77))
        assert {person.name for person in book.people()} == {"caretaker 1"}
