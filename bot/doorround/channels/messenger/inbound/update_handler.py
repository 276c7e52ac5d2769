"""One stored update → its sender → its handling → marked as done, entered and answered in one
transaction.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Generic

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.messenger.channel import InboundChannel, NotYet
from doorround.channels.messenger.inbound.answer_writer import AnswerWriter, later_key
from doorround.channels.messenger.inbound.conversation import (
    AccessPolicy,
    Conversation,
    Inbound,
    P,
    UpdateOutcome,
)
from doorround.channels.messenger.inbound.message_time import when_said
from doorround.channels.messenger.inbound.start_check import start_check
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.outbound.storage_outage import StorageOutage
from doorround.channels.messenger.results import Reply, StartCheck
from doorround.channels.messenger.updates import (
    ButtonPress,
    MembershipChanged,
    Message,
    Moved,
    Unusable,
    Update,
    sort_of,
)
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Prompt
from doorround.logbook.chats import Chats
from doorround.logbook.errors import is_unwritten
from doorround.logbook.inbox import Arrived, Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.set_aside import enter_set_aside
from doorround.logbook.store import Logbook
from doorround.messages import receiving

log = logging.getLogger("doorround.messenger")

TRIES = 3
"""Per process lifetime. An update in progress when the process died is tried once more; see
MAX_ENDS.
"""
MAX_ENDS = 2
"""An update in progress at this many process deaths is not tried again."""
MAX_PAUSE_S = 5.0
"""Between two tries, while nothing can be written."""
GIVEN_UP = timedelta(days=1)
"""How long to retry fetching a file that the messenger does not provide."""


@dataclass
class UpdateHandler(Generic[P]):
    """channel: whose updates these are. talk: creates the talk of a chat and its person. written:
    called when the outbox has something new. put_off: has an update (id, chat) processed again
    later. unwritten: called with what cannot be written.
    """

    channel: InboundChannel
    logbook: Logbook
    conversation: Conversation[P]
    talk: Callable[[str, str], Talk]
    access_policy: AccessPolicy
    written: Callable[[], None]
    pause: float = 0.5
    put_off: Callable[[int, str], None] = lambda id, chat: None
    clock: Callable[[], datetime] = lambda: datetime.now(UTC)
    unwritten: StorageOutage | None = None
    _begun: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.inbox = Inbox(self.logbook, self.channel.name)
        self.outbox = Outbox(self.logbook, self.channel.name)
        self.chats = Chats(self.logbook)
        self.answers = AnswerWriter(self.logbook, self.channel.name)

    async def handle(self, id: int) -> None:
        """Process one stored update; idempotent. One that keeps failing is reported and set aside;
        while nothing can be written, it waits, as do later ones from its chat.
        """
        backoff = Backoff(self.pause, MAX_PAUSE_S)
        while True:
            arrived = None
            try:
                arrived = self.inbox.open(id)
                if arrived is not None:
                    await self._counted(arrived)
                    if self.unwritten is not None:
                        self.unwritten.over("deal", (arrived.chat,))
                return
            except Exception as error:
                if not is_unwritten(error):
                    raise
                if self.unwritten is not None:
                    await self.unwritten.failed("deal", (arrived.chat if arrived else "",), error)
            await asyncio.sleep(backoff.next())

    async def _counted(self, arrived: Arrived) -> None:
        """Count the try first, so that the next process knows of it if this one dies."""
        id = arrived.id
        update = self.channel.read(arrived.body)
        if id not in self._begun:
            if arrived.tries >= MAX_ENDS:
                self._set_aside(
                    arrived, update, receiving.SET_ASIDE, "the program ended at it twice"
                )
                return
            self.inbox.begin(id)
            self._begun.add(id)
        try:
            await self._try(arrived, update)
        except BaseException:  # a stop, or nothing can be written: not the update's fault
            with suppress(Exception):
                self.inbox.broken_off(id)
                self._begun.discard(id)
            raise
        self._begun.discard(id)

    async def _try(self, arrived: Arrived, update: Update) -> None:
        for attempt in range(1, TRIES + 1):
            try:
                await self._handle(arrived, update)
                return
            except NotYet as later:
                self._wait_for_file(arrived, update, later)
                return
            except Exception as error:
                if is_unwritten(error):
                    raise
                log.exception(
                    "update %s failed, attempt %d of %d", arrived.update_id, attempt, TRIES
                )
            await asyncio.sleep(self.pause)
        self._set_aside(arrived, update, receiving.FAILED, f"it failed {TRIES} times")

    def _set_aside(self, arrived: Arrived, update: Update, line: str, why: str) -> None:
        """Notify the sender, enter that it was set aside, and continue with later updates."""
        log.error("update %s is set aside: %s", arrived.update_id, why)
        message = update.message if isinstance(update, Message) else None
        at = arrived.received
        with self.logbook.writing():
            chat = self.chats.name(arrived.chat)
            person = self.access_policy.person(chat) if chat else None
            if person is not None:
                words = update.text if isinstance(update, Message) else None
                sort = sort_of(update)
                enter_set_aside(self.logbook, chat, person, arrived.update_id, sort, why, at, words)
                said = UpdateOutcome(messages((Prompt(text=line),), message))
                self.answers.write(arrived.key, chat, said, at)
            self.inbox.done(arrived.id, f"set aside: {why}")
        self.written()

    def _wait_for_file(self, arrived: Arrived, update: Update, later: NotYet) -> None:
        """Say once that a file comes later, and schedule a retry; after a day, that it will not
        come.
        """
        chat = self.chats.name(arrived.chat)
        at = arrived.received
        message = update.message if isinstance(update, Message) else None
        with self.logbook.writing():
            if self.clock() - at > GIVEN_UP:
                self.answers.write(
                    arrived.key,
                    chat,
                    UpdateOutcome(messages((Prompt(text=later.gone),), message)),
                    at,
                )
                self.inbox.done(arrived.id, "its file was not given")
            else:
                line = Outgoing(str(later), reply_to=message)
                self.answers.put(chat, later_key(arrived.key), line, at)
                self.inbox.broken_off(arrived.id)
        if self.inbox.open(arrived.id) is not None:
            self.put_off(arrived.id, arrived.chat)
        self.written()

    async def _handle(self, arrived: Arrived, update: Update) -> None:
        if not isinstance(update, Message | ButtonPress):
            with self.logbook.writing():
                self.inbox.done(arrived.id, self._note(arrived.update_id, update))
                if not (arrived.chat and self.access_policy.person(self.chats.name(arrived.chat))):
                    self.inbox.forget(arrived.id)
            return
        while (inbound := self._decide(arrived, update)) is not None:
            if await self._talk(inbound, arrived.received):
                return
            # the sender left, or changed role, during recognition
        self.written()
        await self._stop_waiting(update)

    def _decide(self, arrived: Arrived, update: Message | ButtonPress) -> Inbound | None:
        """Process everything outside the talk at a door, in one transaction.

        Returns what is for the talk.
        """
        chat = self.chats.name(update.writer.chat)
        at = arrived.received
        sent = when_said(update, at)
        with self.logbook.writing():
            person = self.access_policy.person(chat) if update.writer.private else None
            if not update.writer.private:
                outcome = "in a group"
                reply = self.access_policy.in_group(chat, update, at)
                if not reply.say:
                    log.info("update %s in a group is ignored", arrived.update_id)
            elif person is None:
                outcome = "from somebody unknown"
                reply = self.access_policy.stranger(chat, update, at)
                log.info("update %s came from somebody unknown", arrived.update_id)
            else:
                late = self.outbox.by_key(later_key(arrived.key))
                gone_on = late is not None and late.turn != self.chats.turn(chat)
                inbound = Inbound(arrived, chat, person, update, sent, late is not None, gone_on)
                ordered = self.access_policy.order(chat, update, at)
                if ordered is None:
                    return inbound
                outcome = "ordered"
                if isinstance(ordered, StartCheck):
                    said = start_check(self.talk(chat, person), ordered, sent)
                    self.answers.write(arrived.key, chat, said, at)
                    reply = Reply()
                else:
                    reply = ordered
            self.answers.tell(arrived.key, chat, reply, update, at)
            self.inbox.done(arrived.id, outcome)
            if person is None:  # in a group, or from a stranger
                self._forget(arrived.id, chat, reply)
        return None

    def _forget(self, id: int, chat: str, reply: Reply) -> None:
        """Without consent nothing is stored: no other people's messages in groups, nor strangers'
        messages.
        """
        self.inbox.forget(id)
        if reply.forget:
            self.inbox.forget_chat(chat)
            self.outbox.forget_chat(chat)
            self.chats.forget(chat)

    def _note(self, id: str, update: Moved | MembershipChanged | Unusable) -> str:
        """Outcome to record for an update that gets no reply."""
        match update:
            case Moved(chat=chat, to=to):
                self.chats.moved(self.chats.name(chat), to)
                return "moved"
            case MembershipChanged(chat=chat, open=is_open):
                menus = self.chats.menus(self.channel.name)
                if chat in menus or self.chats.person(chat) is not None:
                    self.chats.unreachable(chat, None if is_open else "blocked")
                if chat in menus:
                    self.chats.give_menu(chat, None)
                if not is_open:
                    self.outbox.drop_all(chat, "blocked")
                return "let in" if is_open else "shut out"
            case Unusable(why=why):
                log.info("update %s is not used: %s", id, why)
                return f"not used: {why}"

    async def _talk(self, inbound: Inbound, received: datetime) -> bool:
        """Recognise, then one transaction.

        False if the person may no longer talk here; nothing was done then.
        """
        prepared = await self.conversation.prepare(inbound)
        with self.logbook.writing():
            policy = self.access_policy
            known = policy.person(inbound.chat) == inbound.person
            if not known or not policy.checks(inbound.chat):
                return False
            said = self.conversation.commit(inbound, prepared)
            self.chats.unreachable(inbound.chat, None)
            self.answers.write(inbound.arrived.key, inbound.chat, said, received)
            self.inbox.done(inbound.arrived.id, said.outcome)
        self.written()
        await self._stop_waiting(inbound.update, said.toast)
        return True

    async def _stop_waiting(self, update: Message | ButtonPress, toast: str = "") -> None:
        if isinstance(update, ButtonPress):
            await self.channel.answer_press(update, toast)
