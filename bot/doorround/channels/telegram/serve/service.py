"""The bot on Telegram, put together: intake, desk, handling, sender; started, watched over and shut
down.
"""

from __future__ import annotations

import asyncio
import logging
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from telegram.error import InvalidToken, TelegramError

from doorround.channels.messenger.backoff import Backoff, seconds_asked
from doorround.channels.messenger.inbound.checks import Checks, Patience
from doorround.channels.messenger.inbound.conversation import AccessPolicy
from doorround.channels.messenger.inbound.dispatcher import PerChatQueue
from doorround.channels.messenger.inbound.intake import Intake, chat_of
from doorround.channels.messenger.inbound.known_chats import KnownChats
from doorround.channels.messenger.inbound.update_handler import UpdateHandler
from doorround.channels.messenger.outbound.own_data import own_data_file
from doorround.channels.messenger.outbound.sender import Sender
from doorround.channels.messenger.outbound.storage_outage import StorageOutage
from doorround.channels.messenger.outbound.tts_sender import TtsSender
from doorround.channels.messenger.retention import Kept, Retention
from doorround.channels.talk.talk import Talk
from doorround.channels.telegram.transport.client import Line
from doorround.channels.telegram.transport.polling import KINDS, Poller, TokenRefused
from doorround.channels.telegram.transport.rate_limit import Limits
from doorround.channels.telegram.transport.webhook import Server
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.domain.check import Check
from doorround.hearing.session.worker_pool import Pool
from doorround.logbook.chats import Chats
from doorround.logbook.errors import is_unwritten
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import ticking
from doorround.speaking.tts_cache import TtsCache

log = logging.getLogger("doorround.telegram")

FINISH_S = 2.0
"""What is being sent at a shutdown may take so long to arrive; the whole takes no more than five
seconds.
"""
WAITS_FOR_OTHERS_S = 1.0
"""While another program writes into the logbook, nothing else happens here; after so long the write
is tried later.
"""
LAST_S = 4.5
"""Seconds after the signal, at which the program ends whatever it is doing."""


def _now() -> datetime:
    return datetime.now(UTC)


@dataclass
class Service:
    """One run of the bot. talk: makes the talk of a chat and its person. places: recordings with
    the pool at once.

    reception: who is known; by default, whose chats the logbook knows. long: seconds of one poll.
    first_pause: seconds before the first of several tries. kept: recordings and photos, and for how
    long. tick: seconds between two looks at what the service does by itself. remind: writes what is
    due at a moment into the outbox; asked once a minute. alarm: writes what is dangerous at a check
    as it stands after a turn. may_come: whether a reminder may arrive at a moment. spoken: what
    reads questions aloud; None for nothing. patience: how long who waits for what.
    """

    options: TelegramOptions
    logbook: Logbook
    pool: Pool
    talk: Callable[[str, str], Talk]
    places: int = 10
    reception: AccessPolicy | None = None
    limits: Limits = field(default_factory=Limits)
    long: int = 25
    stall: float = 15.0
    first_pause: float = 1.0
    clock: Callable[[], datetime] = _now
    kept: Kept = field(default_factory=Kept)
    tick: float = 60.0
    remind: Callable[[datetime], int] | None = None
    alarm: Callable[[Check, datetime], int] | None = None
    may_come: Callable[[OutboundMessage, datetime], bool] = lambda letter, now: True
    spoken: TtsCache | None = None
    patience: Patience = field(default_factory=Patience)

    async def run(self, stop: asyncio.Event) -> None:
        """Serve until `stop` is set. What was kept before is dealt with first, in order.

        Raises TokenRefused, CannotListen.
        """
        chats = Chats(self.logbook)
        outbox = Outbox(self.logbook)
        inbox = Inbox(self.logbook)
        reception = self.reception or KnownChats(chats)
        self.logbook.wait_for_others(WAITS_FOR_OTHERS_S)
        async with Line(self.options) as line:
            sender = self._sender(line, chats, outbox)
            aloud = TtsSender(chats, outbox, self.spoken, sender.wake, self.clock)
            upkeep = Retention(self.logbook, self.kept, self.clock, sender.wake, self.tick)
            upkeep.look()
            unwritten = StorageOutage(
                line.bot, lambda chat: reception.person(chat) is not None, chats.address
            )
            desk = self._desk(line, reception, sender, aloud, unwritten)
            intake = Intake(self.logbook, desk.arrived, sender.wake, self.clock)
            desk.first(inbox.tried())
            desk.arrived(inbox.waiting())
            works = (sender.run(), aloud.run(), upkeep.run(), self._learn_name(line, reception))
            tasks = [*map(asyncio.create_task, works), *self._listen(intake, line, unwritten)]
            reminders = ticking(self.remind or (lambda now: 0), self.clock, sender.wake)
            reminders.start()
            try:
                await self._until(stop, tasks)
            finally:
                reminders.shutdown(wait=False)
                # first no more comes in, then nothing more is begun, then what is on its way
                # arrives
                for task in tasks:
                    task.cancel()
                await asyncio.gather(*tasks, return_exceptions=True)
                await desk.finish()
                await sender.finish(FINISH_S)

    def _desk(
        self,
        line: Line,
        reception: AccessPolicy,
        sender: Sender,
        aloud: TtsSender,
        unwritten: StorageOutage,
    ) -> PerChatQueue:
        conversation = Checks(
            line.bot,
            self.talk,
            self.pool,
            sender.chats,
            sender.outbox,
            self.places,
            self.alarm,
            self.patience,
            sender.wake,
        )
        handling = UpdateHandler(
            line.bot,
            self.logbook,
            conversation,
            self.talk,
            reception,
            aloud.written_elsewhere,
            self.first_pause / 2,
            lambda id, chat: desk.put_off(id, chat, self.patience.later),
            self.clock,
            unwritten,
        )
        desk = PerChatQueue(handling.deal)
        return desk

    def _sender(self, line: Line, chats: Chats, outbox: Outbox) -> Sender:
        sender = Sender(
            line.bot, outbox, chats, self.limits, self.first_pause, own_data=self._own_data
        )
        sender.recordings = self.kept.recordings
        sender.may_come = lambda letter: self.may_come(letter, self.clock())
        if self.spoken is not None:
            sender.spoken = self.spoken.sound
        return sender

    def _own_data(self, name: str) -> bytes:
        return own_data_file(
            self.logbook.path, self.logbook.zone, self.kept.recordings, self.clock, name
        )

    async def _learn_name(self, line: Line, reception: AccessPolicy) -> None:
        """Ask Telegram what the bot is called, until it has told."""
        backoff = Backoff(self.first_pause, 300.0)
        while self.reception is not None:
            try:
                name = (await line.bot.get_me()).username or ""
                reception.called(name)
                log.info(
                    "This bot is @%s. Stop it with Ctrl-C or SIGTERM; nothing is lost by that.",
                    name,
                )
                break
            except TelegramError:
                await asyncio.sleep(backoff.next())
        await asyncio.Event().wait()

    def _listen(
        self, intake: Intake, line: Line, unwritten: StorageOutage
    ) -> list[asyncio.Task[None]]:
        async def refused(raws: Sequence[Any], error: Exception) -> None:
            if is_unwritten(error):
                await unwritten.failed("keep", map(chat_of, raws), error)

        def keep(raws: Sequence[Any]) -> int:
            new = intake.keep(raws)
            unwritten.over("keep", map(chat_of, raws))
            return new

        if self.options.webhook is None:
            poller = Poller(self.options, keep, self.long, self.stall, self.first_pause, refused)
            return [asyncio.create_task(poller.run())]
        server = Server(self.options.webhook, keep, refused)
        return [asyncio.create_task(server.listen()), asyncio.create_task(self._hook(line))]

    async def _hook(self, line: Line) -> None:
        """Tell Telegram where to bring updates, until it has understood."""
        webhook = self.options.webhook
        backoff = Backoff(self.first_pause, 60.0)
        assert webhook is not None
        while True:
            try:
                await line.bot.set_webhook(
                    webhook.url, secret_token=webhook.secret, allowed_updates=list(KINDS)
                )
                break
            except InvalidToken as refused:
                raise TokenRefused(
                    "Telegram does not know this bot. Set DOORROUND_TELEGRAM_TOKEN anew."
                ) from refused
            except TelegramError as error:
                if not backoff.failures:
                    log.warning("the webhook is not set yet, trying again until it is: %s", error)
                await asyncio.sleep(max(seconds_asked(error), backoff.next()))
        await asyncio.Event().wait()

    @staticmethod
    async def _until(stop: asyncio.Event, tasks: list[asyncio.Task[None]]) -> None:
        """Wait for the stop; a part that ends by itself ends the service with its error."""
        waiting = asyncio.create_task(stop.wait())
        done, _ = await asyncio.wait([waiting, *tasks], return_when=asyncio.FIRST_COMPLETED)
        waiting.cancel()
        for task in done - {waiting}:
            task.result()


async def serve(make: Callable[[Pool], Service], pool: Pool) -> None:
    """Serve until SIGTERM or Ctrl-C. make: the service, given the running pool. Raises
    TokenRefused.

    The program ends within five seconds of that, even where a thread is in the middle of something
    that cannot be broken off, such as a voice or a picture. What it was at is in no transaction,
    and is done at the next start.
    """
    stop = asyncio.Event()
    loop = asyncio.get_running_loop()

    def ask_to_stop() -> None:
        if not stop.is_set():
            last = threading.Timer(LAST_S, _end_now)
            last.daemon = True
            last.start()
        stop.set()

    for kind in (signal.SIGTERM, signal.SIGINT):
        loop.add_signal_handler(kind, ask_to_stop)
    async with pool:
        await make(pool).run(stop)


def _end_now() -> None:
    log.warning("ended in the middle of something, which is done at the next start")
    for child in multiprocessing.active_children():
        child.kill()
    logging.shutdown()
    os._exit(0)
