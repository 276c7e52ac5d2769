"""One kept update → who it is from → what is made of it → done, entered and answered in one transaction."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from telegram import Bot
from telegram.error import TelegramError

from bot.channels.telegram.conversation import Conversation, Given, Reception, Said
from bot.channels.telegram.outgoing import messages
from bot.channels.telegram.updates import Moved, Shut, Tapped, Unusable, Update, Written, read_update
from bot.domain.check import Prompt
from bot.logbook.chats import Chats
from bot.logbook.inbox import Arrived, Inbox
from bot.logbook.outbox import Outbox
from bot.logbook.store import Logbook

log = logging.getLogger("doorround.telegram")

UNKNOWN = "Good day. This bot works for the people of one building only. Ask your supervisor for an invitation."
FAILED = "Something went wrong here with what you sent. It is kept, but not entered. Send it again."
READS_ONLY = "You may read the logbook, not check doors. Ask your supervisor for another role."
TRIES = 3


class KnownChats:
    """A Reception that knows whose each chat is, and makes nobody known."""

    def __init__(self, chats: Chats) -> None:
        self._chats = chats

    def person(self, chat: str) -> str | None:
        """Who writes in this chat."""
        return self._chats.person(chat)

    def checks(self, chat: str) -> bool:
        """Everybody who is known may check doors."""
        return True

    def stranger(self, chat: str, update: Written | Tapped, at: datetime) -> tuple[Prompt, ...]:
        """One polite line, the first time."""
        said = any(letter.body.get("text") == UNKNOWN for letter in Outbox(self._chats.logbook).all(chat))
        return () if said else (Prompt(text=UNKNOWN),)


@dataclass
class Handling:
    """written: called when there is something new in the outbox."""

    bot: Bot
    logbook: Logbook
    conversation: Conversation
    reception: Reception
    written: Callable[[], None]
    pause: float = 0.5

    def __post_init__(self) -> None:
        self.inbox, self.outbox = Inbox(self.logbook), Outbox(self.logbook)
        self.chats = Chats(self.logbook)

    async def deal(self, id: int) -> None:
        """Deal with one kept update; does nothing where that was done. What keeps failing is told and put aside."""
        arrived = self.inbox.open(id)
        if arrived is None:
            return
        update = read_update(arrived.body)
        for attempt in range(1, TRIES + 1):
            try:
                await self._deal(arrived, update)
                return
            except Exception:
                log.exception("update %d failed, attempt %d of %d", id, attempt, TRIES)
            await asyncio.sleep(self.pause)
        with self.logbook.writing():
            chat = self.chats.name(arrived.chat)
            if chat and self.reception.person(chat) is not None:
                self._write(id, chat, Said(messages((Prompt(text=FAILED),))), arrived.received)
            self.inbox.done(id, "failed")
        self.written()

    async def _deal(self, arrived: Arrived, update: Update) -> None:
        if not isinstance(update, Written | Tapped):
            with self.logbook.writing():
                self.inbox.done(arrived.id, self._note(arrived.id, update))
            return
        chat = self.chats.name(update.writer.chat)
        person = self.reception.person(chat)
        if not update.writer.private:
            self.inbox.done(arrived.id, "in a group")
        elif person is None:
            self._refuse(arrived, chat, update)
        elif not self.reception.checks(chat):
            with self.logbook.writing():
                self._write(arrived.id, chat, Said(messages((Prompt(text=READS_ONLY),))), arrived.received)
                self.inbox.done(arrived.id, "may not check doors")
        else:
            at = min(update.at, arrived.received) if isinstance(update, Written) else arrived.received
            await self._talk(Given(arrived.id, chat, person, update, at))
        self.written()

    def _note(self, id: int, update: Moved | Shut | Unusable) -> str:
        """What is to be noted of an update that nobody answers."""
        match update:
            case Moved(chat=chat, to=to):
                self.chats.moved(self.chats.name(chat), to)
                return "moved"
            case Shut(chat=chat, open=is_open):
                self.chats.unreachable(chat, None if is_open else "blocked")
                if not is_open:
                    self.outbox.drop_all(chat, "blocked")
                return "let in" if is_open else "shut out"
            case Unusable(why=why):
                log.info("update %d is not used: %s", id, why)
                return f"not used: {why}"

    def _refuse(self, arrived: Arrived, chat: str, update: Written | Tapped) -> None:
        with self.logbook.writing():
            say = self.reception.stranger(chat, update, arrived.received)
            self._write(arrived.id, chat, Said(messages(say)), arrived.received)
            self.inbox.done(arrived.id, "from somebody unknown")
        log.info("update %d came from somebody unknown", arrived.id)

    async def _talk(self, given: Given) -> None:
        prepared = await self.conversation.prepare(given)
        with self.logbook.writing():
            said = self.conversation.take(given, prepared)
            self.chats.unreachable(given.chat, None)
            self._write(given.id, given.chat, said, given.at)
            self.inbox.done(given.id, said.outcome)
        self.written()
        if isinstance(given.update, Tapped):
            # only stops the button's waiting sign; too late, it is refused, which harms nothing
            with suppress(TelegramError):
                await self.bot.answer_callback_query(given.update.query, text=said.toast or None)

    def _write(self, id: int, chat: str, said: Said, at: datetime) -> None:
        turn = self.chats.move_on(chat) if said.moved_on else self.chats.turn(chat)
        for place, out in enumerate(said.out):
            self.outbox.put(chat, f"{id}/{place}", turn, out.as_body(), at)
