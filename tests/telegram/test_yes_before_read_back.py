"""A yes sent before the read-back was delivered confirms nothing, spoken or typed. Nor does it
answer whether to cancel, and an early "finish" does not sign a check that has not been summed up.
"""

from __future__ import annotations

import pytest
from media import MediaStandIn, WordsPool, add_known_door, settled
from service import NOON, prepare, serving, until

from doorround.channels.messenger.inbound.conversation import Inbound
from doorround.channels.messenger.inbound.reply_target import ReplyTargets
from doorround.channels.messenger.updates import Message, Writer
from doorround.config.resources import load_checklist
from doorround.dialogue.turn import start_check
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.domain.people import Person, Role
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Arrived
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook
from doorround.messages.receiving import SENT_BEFORE, SENT_BEFORE_SUMMARY


@pytest.mark.parametrize("spoken", [True, False])
async def test_a_yes_sent_before_its_read_back_is_none(tmp_path, spoken):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    async with MediaStandIn() as server:
        for words in ("12", "all clear", "right and readable"):
            server.say(1, words)
        server.say(1, "I think it's fine")
        (server.note if spoken else server.say)(1, "yes")
        async with serving(tmp_path, server, WordsPool()) as logbook:
            await until(lambda: any(SENT_BEFORE in line for line in server.shown(1)))
            assert server.shown(1)[-1].endswith("Tap or say yes or no: Frame, this side: sound?")
            server.say(1, "yes")
            check = logbook.checks()[0].id
            await until(lambda: "frame.here" in [each.question for each in logbook.answers(check)])


async def test_a_yes_sent_before_it_was_asked_whether_to_cancel_cancels_nothing(tmp_path):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    async with MediaStandIn() as server:
        for words in ("12", "all clear", "cancel", "yes"):
            server.say(1, words)
        async with serving(tmp_path, server, WordsPool()) as logbook:
            await until(lambda: any(SENT_BEFORE in line for line in server.shown(1)))
            assert logbook.checks()[0].stage == "open"
            server.say(1, "yes")
            await until(lambda: logbook.checks()[0].stage == "cancelled")


@pytest.mark.parametrize("spoken", [True, False])
async def test_a_finish_sent_before_the_summary_signs_nothing(tmp_path, spoken):
    prepare(tmp_path, 1)
    add_known_door(tmp_path)
    async with MediaStandIn() as server:
        for words in ("12", "all clear", "right and readable", "finish"):
            server.say(1, words)
        (server.note if spoken else server.say)(1, "finish")
        async with serving(tmp_path, server, WordsPool()) as logbook:
            await until(lambda: any(SENT_BEFORE_SUMMARY in line for line in server.shown(1)))
            await settled(logbook)
            assert logbook.checks()[0].stage == "open"
            server.say(1, "finish")
            await until(lambda: logbook.checks()[0].stage == "signed")


@pytest.mark.parametrize(
    ("state", "early"), [("waiting", True), ("sending", True), ("dropped", True), ("sent", False)]
)
def test_a_yes_answers_only_what_was_delivered(tmp_path, state, early):
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        chats = Chats(logbook)
        outbox = Outbox(logbook)
        outbox.put("telegram/1", "k", 0, Outgoing("Frame: damaged?", confirms=True), NOON)
        [shown] = outbox.all("telegram/1")
        if state == "sending":
            outbox.sending(shown.id)
        if state == "dropped":
            outbox.drop(shown.id, "refused")
        if state == "sent":
            outbox.sent({shown.id: "41"})
        yes = Message(Writer("telegram/1", "1", "Robin", private=True), "42", NOON, "yes")
        arrived = Arrived(1, "telegram", "7", "telegram/1", NOON, {}, 0)
        person = Person("Robin", Role.CARETAKER, NOON)
        inbound = Inbound(arrived, "telegram/1", person, yes, NOON, late=False, gone_on=False)
        check = start_check("c1", Door(number="1"), "Robin", load_checklist(), NOON).check
        reading_back = check.model_copy(update={"stage": Stage.CONFIRMING})
        assert ReplyTargets(chats, outbox).is_early(inbound, reading_back) is early
