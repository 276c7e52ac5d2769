"""Messages that take the place of others, cannot be changed, are refused, or may have arrived."""

from datetime import UTC, datetime

import pytest
from api_answers import refuse, well
from service import prepare, serving, until
from standin import StandIn

from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

START = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    return tmp_path


def outbounds(home, *outs):
    """Letters to chat 1, as if the talk had written them. Returns their numbers."""
    with Logbook.open(home / "logbook.db") as logbook:
        outbox = Outbox(logbook)
        for place, out in enumerate(outs):
            outbox.put("telegram/1", f"test/{place}", Chats(logbook).turn("telegram/1"), out, START)
        return [outbound.id for outbound in outbox.all("telegram/1")]


async def test_a_message_that_takes_the_place_of_another_is_no_second_one(home):
    outbounds(home, Outgoing("How many hinges?"), Outgoing("How many hinges? Three.", edits=1))
    async with StandIn() as server, serving(home, server) as logbook:
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert [message["text"] for message in server.to(1)] == ["How many hinges? Three."]


async def test_a_message_that_says_the_same_already_is_left_as_it_is(home):
    outbounds(home, Outgoing("How many hinges?"), Outgoing("How many hinges?", edits=1))
    async with StandIn() as server, serving(home, server) as logbook:
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert [message["text"] for message in server.to(1)] == ["How many hinges?"]
        assert Outbox(logbook).last("telegram/1").state == "sent"


async def test_a_message_that_can_not_be_changed_is_said_anew(home):
    def mishap(method, given):
        return (
            refuse(400, "Bad Request: message can't be edited")
            if method == "editmessagetext"
            else None
        )

    outbounds(home, Outgoing("How many hinges?"), Outgoing("Three hinges.", edits=1))
    async with StandIn(mishap) as server, serving(home, server) as logbook:
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert [message["text"] for message in server.to(1)] == [
            "How many hinges?",
            "Three hinges.",
        ]


async def test_a_question_that_may_have_arrived_and_was_answered_since_is_not_asked_again(home):
    first, second = outbounds(
        home, Outgoing("How many hinges?", question=True), Outgoing("Two screws missing.")
    )
    with Logbook.open(home / "logbook.db") as logbook:
        Outbox(logbook).sending(first)
        Chats(logbook).move_on("telegram/1")
    async with StandIn() as server, serving(home, server) as logbook:
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert [message["text"] for message in server.to(1)] == ["Two screws missing."]
        assert Outbox(logbook).outbound(first).state == "dropped"
        assert Outbox(logbook).outbound(second).state == "sent"


async def test_a_message_that_telegram_refuses_holds_up_no_other(home, caplog):
    outbounds(home, Outgoing("x" * 5000), Outgoing("Two screws missing."))
    async with StandIn() as server, serving(home, server) as logbook:
        await until(lambda: not Outbox(logbook).next_per_chat())
        assert [message["text"] for message in server.to(1)] == ["Two screws missing."]
    assert sum("was refused" in record.message for record in caplog.records) == 1


@pytest.mark.parametrize(
    "shown", (True, [], {"message_id": "x"}, {"message_id": 5, "date": 1_780_000_000_000})
)
async def test_a_message_that_arrived_is_not_sent_again_because_its_answer_cannot_be_read(
    home, shown
):
    outbounds(home, Outgoing("How many hinges?"))
    async with StandIn() as server:
        handed_on = server._sendmessage

        async def unreadable(given):
            await handed_on(given)
            return well(shown)

        server._sendmessage = unreadable
        async with serving(home, server) as logbook:
            await until(lambda: not Outbox(logbook).next_per_chat())
            assert Outbox(logbook).last("telegram/1").state == "sent"
        assert len(server.to(1)) == 1
