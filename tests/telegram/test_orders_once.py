"""An order on Telegram is done once, by whoever means it, and its buttons go stale."""

import pytest
from house import (
    BARN,
    EVE,
    MONA,
    SAM,
    at_work,
    done,
    join,
    kinds,
    label,
    said,
    settle,
    tap_of,
)
from standin import StandIn

from doorround.channels.messenger.inbound.answer_writer import AnswerWriter
from doorround.domain.entries import EntryKind
from doorround.domain.people import Role
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


@pytest.fixture
def home(tmp_path):
    settle(tmp_path)
    return tmp_path


async def test_an_order_delivered_twice_is_done_once(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/invite caretaker")
        again = dict(server.updates[-1])
        await said(server, MONA, "For one caretaker")
        server.give_raw(again)
        await done(logbook, server.write(MONA, "/help"))
        assert kinds(logbook).count(EntryKind.PERSON_INVITED) == 5
        assert len([each for each in server.to(MONA) if "For one caretaker" in each["text"]]) == 1


async def test_an_order_that_fails_halfway_leaves_nothing_and_is_done_once(home, monkeypatch):
    failures = []

    def broken(self, *given):
        if not failures:
            failures.append(1)
            raise OSError("pulled out")
        return whole(self, *given)

    whole = AnswerWriter.tell
    monkeypatch.setattr(AnswerWriter, "tell", broken)
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/invite caretaker")
        await said(server, MONA, "For one caretaker")
        assert failures and kinds(logbook).count(EntryKind.PERSON_INVITED) == 5


async def test_a_caption_is_no_order(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        voice = {"file_id": "none", "file_unique_id": "none", "duration": 1}
        await done(logbook, server.write(SAM, None, voice=voice, caption="/leave yes"))
        assert (
            not People(logbook).person("Sam").gone and "couldn't get" in server.to(SAM)[-1]["text"]
        )


async def test_an_orders_button_is_stale_once_the_talk_moved_on(home):
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(SAM, "/leave")
        leave = tap_of(await said(server, SAM, "Leave?"), "yes, I leave")
        server.write(SAM, label(BARN))
        await done(logbook, server.tap(SAM, leave))
        assert (
            not People(logbook).person("Sam").gone
            and logbook.position(f"telegram/{SAM}").door == BARN
        )


async def test_a_button_with_a_name_like_an_order_lets_nobody_else_go(home):
    with Logbook.open(home / "logbook.db") as logbook:
        join(logbook, EVE, "Sam yes", Role.CARETAKER)
    async with StandIn() as server, at_work(home, server) as logbook:
        server.write(MONA, "/remove")
        server.tap(MONA, tap_of(await said(server, MONA, "Who do you want to remove?"), "Sam yes"))
        asked = await said(server, MONA, "Remove Sam yes?")
        assert not People(logbook).person("Sam").gone and not People(logbook).person("Sam yes").gone
        server.tap(MONA, tap_of(asked, "remove Sam yes"))
        await said(server, MONA, "Sam yes is removed.")
        assert not People(logbook).person("Sam").gone and People(logbook).person("Sam yes").gone
