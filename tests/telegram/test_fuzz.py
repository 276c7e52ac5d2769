"""Updates of every kind, whole and broken: nothing is raised, nobody unknown gets in, each
rejection is one line.
"""

import asyncio
import itertools
import logging
from contextlib import ExitStack
from datetime import timedelta
from functools import partial
from pathlib import Path

import pytest
from house import ADA, EVE, GROUP, KIM, MONA, SAM, access_policy, settle
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from service import NOON, DeafPool

from doorround.channels.messenger.inbound.check_conversation import CheckConversation
from doorround.channels.messenger.inbound.dispatcher import PerChatQueue
from doorround.channels.messenger.inbound.intake import Intake
from doorround.channels.messenger.inbound.update_handler import UpdateHandler
from doorround.channels.telegram.inbound.inbound import TelegramInbound
from doorround.channels.telegram.transport.client import BotConnection
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.channels.telegram.wire.updates import (
    ButtonPress,
    Message,
    Unusable,
    read_update,
    update_id,
)
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.wiring import make_pooled_talk

KNOWN = (MONA, KIM, SAM, ADA)
NASTY = st.sampled_from(
    (
        "",
        "\0",
        "\ud800",
        "a\0b",
        "\u202e",
        "x" * 5000,
        "/start",
        "/start " + "a" * 64,
        "/",
        "yes",
        "14",
        "finish",
        "t1.1.0",
        "t999999999999999999.1.1",
        "no " * 200,
        "'; DROP TABLE entries; --",
        "🚪" * 100,
    )
)
NUMBERS = st.sampled_from((0, 1, -1, 2**31, 2**53, 2**63 - 1, 2**63, -(2**63), 2**70, 10**400))
LEAF = st.one_of(
    st.none(), st.booleans(), NUMBERS, st.integers(), st.floats(), st.text(max_size=20), NASTY
)
JUNK = st.recursive(
    LEAF,
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)


def deep(levels):
    inner = "end"
    for _ in range(levels):
        inner = {"reply_to_message": inner}
    return inner


def nearly(sound):
    """What belongs there, and now and then anything at all."""
    return st.one_of(sound, sound, sound, sound, sound, JUNK)


PEOPLE = st.sampled_from((*KNOWN, EVE, 67))
CHATS = st.one_of(
    PEOPLE.map(lambda id: {"id": id, "type": "private"}),
    st.just({"id": GROUP, "type": "supergroup", "title": "Doors"}),
)
AUTHOR = st.fixed_dictionaries(
    {"id": nearly(PEOPLE), "is_bot": nearly(st.just(False)), "first_name": nearly(NASTY)}
)
MESSAGE = st.fixed_dictionaries(
    {
        "message_id": nearly(st.integers(1, 99)),
        "date": nearly(st.just(1_780_000_000)),
        "chat": nearly(CHATS),
        "from": nearly(AUTHOR),
    },
    optional={
        "text": nearly(NASTY),
        "caption": nearly(NASTY),
        "edit_date": nearly(NUMBERS),
        "reply_to_message": st.one_of(st.just({"message_id": 1}), JUNK, st.just(deep(500))),
        "migrate_to_chat_id": nearly(NUMBERS),
        "photo": JUNK,
        "voice": JUNK,
        "media_group_id": nearly(NASTY),
        "entities": JUNK,
    },
)
TAP = st.fixed_dictionaries(
    {"id": nearly(st.text(min_size=1, max_size=9)), "from": nearly(AUTHOR), "data": nearly(NASTY)},
    optional={
        "message": nearly(st.fixed_dictionaries({"message_id": st.just(1), "chat": nearly(CHATS)}))
    },
)
MEMBER = st.fixed_dictionaries(
    {
        "chat": nearly(CHATS),
        "from": AUTHOR,
        "new_chat_member": nearly(
            st.sampled_from(({"status": "kicked"}, {"status": "member"}, {"status": "left"}))
        ),
    }
)
UPDATE = st.one_of(
    st.fixed_dictionaries({"message": nearly(MESSAGE)}),
    st.fixed_dictionaries({"edited_message": nearly(MESSAGE)}),
    st.fixed_dictionaries({"callback_query": nearly(TAP)}),
    st.fixed_dictionaries({"my_chat_member": nearly(MEMBER)}),
    st.fixed_dictionaries({"message": MESSAGE, "callback_query": JUNK, "poll": JUNK}),
    st.dictionaries(
        st.sampled_from(("message", "channel_post", "poll", "inline_query")), JUNK, max_size=2
    ),
)


IN_GROUP = {
    "message_id": 1,
    "date": 1_780_000_000,
    "chat": {"id": GROUP, "type": "supergroup"},
    "from": {"id": MONA},
}


class Lines(logging.Handler):
    """What was logged since it was last looked at."""

    def __init__(self):
        super().__init__()
        self.records = []

    def emit(self, record):
        self.records.append(record)


class Office:
    """Intake, desk and handling on a real logbook, without a poll; what is to be sent stays in the
    outbox.
    """

    def __init__(self, home: Path, stack: ExitStack) -> None:
        settle(home)
        self.logbook = stack.enter_context(Logbook.open(home / "logbook.db"))
        self.runner = stack.enter_context(asyncio.Runner())
        self.log = Lines()
        logger = logging.getLogger("doorround.messenger")
        logger.addHandler(self.log)
        logger.setLevel(logging.INFO)
        stack.callback(logger.removeHandler, self.log)
        stack.callback(logger.setLevel, logging.NOTSET)
        self.inbox = Inbox(self.logbook)
        self.numbers = itertools.count(1)
        self.runner.run(self._furnish(home))

    async def _furnish(self, home: Path) -> None:
        # nobody listens there: what would be fetched or answered fails at once
        bot = BotConnection(
            TelegramOptions(
                "4711:abcdefgh", "http://127.0.0.1:9/bot", "http://127.0.0.1:9/file/bot"
            )
        ).bot
        chats = Chats(self.logbook)
        outbox = Outbox(self.logbook)
        talk = partial(
            make_pooled_talk,
            self.logbook,
            read_settings({"DOORROUND_HOME": str(home)}),
            load_checklist(),
        )
        inbound = TelegramInbound(bot)
        checks = CheckConversation(inbound, talk, DeafPool(), chats, outbox, 4)
        handling = UpdateHandler(
            inbound, self.logbook, checks, talk, access_policy(self.logbook), lambda: None, 0.0
        )
        self.queue = PerChatQueue(handling.handle)
        self.intake = Intake(
            inbound,
            self.logbook,
            self.queue.arrived,
            lambda: None,
            lambda: NOON + timedelta(hours=1),
        )

    def take(self, raws) -> list[logging.LogRecord]:
        """Deal with updates as they came. Returns what was logged."""
        self.log.records.clear()

        async def handle():
            self.intake.keep(raws)
            await self.queue.quiet()

        self.runner.run(handle())
        return list(self.log.records)


@pytest.fixture(scope="module")
def office(tmp_path_factory):
    with ExitStack() as stack:
        yield Office(tmp_path_factory.mktemp("office"), stack)


def rejected(raw) -> bool:
    """Whether an update must be turned away: it cannot be read, comes from somebody unknown, or
    from a group, of which none is bound here.
    """
    update = read_update(raw)
    if isinstance(update, Message | ButtonPress):
        return not update.writer.private or update.writer.chat not in {
            f"telegram/{id}" for id in KNOWN
        }
    return isinstance(update, Unusable)


@settings(max_examples=60, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@example([{"message": IN_GROUP}])
@example(
    [{"callback_query": {"id": "1", "from": {"id": KIM}, "data": "t1.1.0", "message": IN_GROUP}}]
)
@given(st.lists(UPDATE, min_size=1, max_size=4))
def test_updates_of_every_kind_are_dealt_with_and_rejected_in_one_line_each(office, raws):
    raws = [{"update_id": next(office.numbers), **raw} for raw in raws]
    before = office.logbook.people()
    records = office.take(raws)
    assert office.inbox.waiting() == []
    assert [record.getMessage() for record in records if record.levelno > logging.INFO] == []
    lines = [record.getMessage() for record in records]
    for raw in raws:
        about = [line for line in lines if line.startswith(f"update {raw['update_id']} ")]
        assert len(about) == rejected(raw), (raw, about)
        assert all("\n" not in line for line in about)
    assert office.logbook.people() == before
    assert {entry.person for entry in office.logbook.entries()} <= {"Mona", "Kim", "Sam", "Ada"}


@settings(max_examples=150, deadline=None, derandomize=True)
@given(JUNK | st.fixed_dictionaries({"update_id": JUNK, "message": JUNK}))
def test_anything_at_all_is_read_without_an_error(raw):
    read_update(raw)
    assert update_id(raw) is None or 0 <= update_id(raw) < 2**63


@settings(max_examples=40, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(st.lists(JUNK.filter(lambda raw: update_id(raw) is None), min_size=1, max_size=3))
def test_what_has_no_number_is_one_line_and_no_more(office, raws):
    records = office.take(raws)
    assert len(records) == len(raws)
    assert office.inbox.waiting() == []


@pytest.mark.parametrize(("moved", "to"), ((EVE, MONA), (EVE, GROUP), (GROUP, MONA)))
def test_no_move_gives_a_persons_chat_to_somebody_else(office, moved, to):
    written = {
        "message_id": 3,
        "date": 1_780_000_000,
        "chat": {"id": moved, "type": "private"},
        "from": {"id": EVE},
    }
    office.take(
        [{"update_id": next(office.numbers), "message": {**written, "migrate_to_chat_id": to}}]
    )
    assert Chats(office.logbook).name(f"telegram/{to}") == f"telegram/{to}"


def test_a_batch_with_one_that_is_nested_without_end_keeps_the_others(office):
    numbers = [next(office.numbers) for _ in range(2)]
    endless = {"update_id": numbers[0], "message": deep(100_000)}
    sound = {
        "message_id": 3,
        "date": 1_780_000_000,
        "chat": {"id": EVE, "type": "private"},
        "text": "14",
    }
    office.take([endless, {"update_id": numbers[1], "message": {**sound, "from": {"id": EVE}}}])
    assert office.inbox.waiting() == []
