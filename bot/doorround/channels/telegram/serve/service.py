"""The Telegram service: receiving updates, start, supervision and shutdown."""

from __future__ import annotations

import asyncio
import logging
import multiprocessing
import os
import signal
import threading
from collections.abc import Callable, Coroutine
from dataclasses import dataclass, field
from typing import Any

from telegram.error import InvalidToken, TelegramError

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.messenger.inbound.conversation import AccessPolicy
from doorround.channels.messenger.service import ChannelRun
from doorround.channels.messenger.service import Service as MessengerService
from doorround.channels.telegram.inbound.inbound import TelegramInbound
from doorround.channels.telegram.outbound.outbound import TelegramOutbound
from doorround.channels.telegram.transport.client import BotConnection
from doorround.channels.telegram.transport.errors import seconds_asked
from doorround.channels.telegram.transport.polling import KINDS, Poller, TokenRefused
from doorround.channels.telegram.transport.rate_limit import Limits, RateLimit
from doorround.channels.telegram.transport.webhook import Server
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.hearing.session.worker_pool import Pool

log = logging.getLogger("doorround.telegram")

LAST_S = 4.5
"""Seconds after the signal by which the process exits, whatever it is doing."""


@dataclass(kw_only=True)
class TelegramService(MessengerService):
    """One run of the bot on Telegram. long: long-poll timeout in seconds."""

    options: TelegramOptions
    limits: Limits = field(default_factory=Limits)
    long: int = 25
    stall: float = 15.0

    async def run(self, stop: asyncio.Event) -> None:
        """Serve until `stop` is set. Updates stored before are processed first, in order.

        Raises TokenRefused, CannotListen.
        """
        async with BotConnection(self.options) as line:
            outbound = TelegramOutbound(line.bot, self.own_data, self.kept.recordings)
            if self.spoken is not None:
                outbound.spoken = self.spoken.sound
            await self.serve_channel(
                TelegramInbound(line.bot),
                outbound,
                RateLimit(self.limits),
                lambda run: self._listen(run, line),
                stop,
            )

    def _listen(self, run: ChannelRun, line: BotConnection) -> list[Coroutine[Any, Any, None]]:
        learning = self._learn_name(line, run.access_policy)
        if self.options.webhook is None:
            poller = Poller(
                self.options, run.keep, self.long, self.stall, self.first_pause, run.refused
            )
            return [learning, poller.run()]
        server = Server(self.options.webhook, run.keep, run.refused)
        return [learning, server.listen(), self._hook(line)]

    async def _learn_name(self, line: BotConnection, access_policy: AccessPolicy) -> None:
        """Ask Telegram for the bot's user name, until it answers."""
        backoff = Backoff(self.first_pause, 300.0)
        while self.access_policy is not None:
            try:
                name = (await line.bot.get_me()).username or ""
                access_policy.called(name)
                log.info(
                    "This bot is @%s. Stop it with Ctrl-C or SIGTERM; nothing is lost by that.",
                    name,
                )
                break
            except TelegramError:
                await asyncio.sleep(backoff.next())
        await asyncio.Event().wait()

    async def _hook(self, line: BotConnection) -> None:
        """Register the webhook with Telegram, until it succeeds."""
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
                    "Telegram does not know this bot. Set a new DOORROUND_TELEGRAM_TOKEN."
                ) from refused
            except TelegramError as error:
                if not backoff.failures:
                    log.warning("the webhook is not set yet, retrying: %s", error)
                await asyncio.sleep(max(seconds_asked(error), backoff.next()))
        await asyncio.Event().wait()


async def serve(make: Callable[[Pool], TelegramService], pool: Pool) -> None:
    """Serve until SIGTERM or Ctrl-C. make: builds the service, given the running pool. Raises
    TokenRefused.

    The process exits within five seconds of that, even if a thread is in an uninterruptible call,
    such as synthesising speech or decoding a picture. Work in progress is in no transaction, and is
    redone at the next start.
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
    log.warning("stopped with work in progress, which resumes at the next start")
    for child in multiprocessing.active_children():
        child.kill()
    logging.shutdown()
    os._exit(0)
