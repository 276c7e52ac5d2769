"""Polls Telegram for updates: stored first, acknowledged afterwards.

Detects a stalled poll and restarts it.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Sequence
from dataclasses import dataclass, field
from typing import Any

from telegram.error import Conflict, InvalidToken, TelegramError

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.telegram.transport.client import BotConnection
from doorround.channels.telegram.transport.errors import seconds_asked
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.channels.telegram.wire.updates import update_id
from doorround.logbook.errors import is_unwritten

log = logging.getLogger("doorround.telegram")

HASTY_S = 0.5
"""Telegram holds an empty poll open; a server that ends one sooner than this does not support long
polling.
"""
MAX_HASTY_S = 5.0
"""Maximum pause between two polls of such a server, and thus the longest delay of a message."""
KINDS = ("message", "edited_message", "callback_query", "my_chat_member")


class TokenRefused(ValueError):
    """Telegram does not know the bot's token. Says what to do."""


@dataclass
class Poller:
    """keep: stores raw updates, commits, and returns how many are new; only then are they
    acknowledged. long: long-poll timeout in seconds.

    stall: seconds beyond that after which the poll is considered hung and restarted on a new
    connection. refused: called with raw updates that could not be stored, and why; they are not
    acknowledged.
    """

    options: TelegramOptions
    keep: Callable[[Sequence[Any]], int]
    long: int = 25
    stall: float = 15.0
    first_pause: float = 1.0
    refused: Callable[[Sequence[Any], Exception], Awaitable[None]] | None = None
    backoff: Backoff = field(init=False)

    def __post_init__(self) -> None:
        self.backoff = Backoff(self.first_pause, 60.0)
        self._hasty = Backoff(self.first_pause, MAX_HASTY_S)
        self._offset: int | None = None
        self._reached = False

    async def run(self) -> None:
        """Poll for ever. Raises TokenRefused if the token never worked."""
        while True:
            async with BotConnection(self.options, connections=1) as line:
                while await self._once(line):
                    pass

    async def _once(self, line: BotConnection) -> bool:
        """One poll. Returns whether the connection may be reused."""
        clock = asyncio.get_running_loop().time
        began = clock()
        raws = list[Any]()
        try:
            async with asyncio.timeout(self.long + self.stall):
                raws = list(await self._ask(line))
            new = self._take(raws)
            if new or clock() - began >= min(HASTY_S, self.long / 2):
                self._hasty.reset()
            else:
                await asyncio.sleep(self._hasty.next())
        except TimeoutError:
            log.warning("the poll hung for %.0f s; restarting it", self.long + self.stall)
            return False
        except InvalidToken as refused:
            if not self._reached:
                raise TokenRefused(
                    "Telegram does not know this bot. Set a new DOORROUND_TELEGRAM_TOKEN."
                ) from refused
            await self._pause(f"Telegram refuses the token: {refused}")
        except Conflict as conflict:
            await self._unhook(line, conflict)
        except TelegramError as error:
            await self._pause(f"Telegram cannot be reached: {error}", seconds_asked(error))
            return False
        except Exception as error:
            if not self.backoff.failures:
                why = None if is_unwritten(error) else error
                log.warning(
                    "updates could not be stored, requesting them again: %s", error, exc_info=why
                )
            if self.refused is not None:
                await self.refused(raws, error)
            await asyncio.sleep(min(self.backoff.next(), MAX_HASTY_S))
        return True

    async def _ask(self, line: BotConnection) -> Sequence[Any]:
        wanted = {
            "timeout": self.long,
            "offset": self._offset,
            "limit": 100,
            "allowed_updates": list(KINDS),
        }
        # raw server responses: the library discards a whole batch for one malformed update. In
        # small letters, since otherwise it dispatches to its own get_updates; the Bot API ignores
        # the case of method names.
        raws = await line.bot.do_api_request(
            "getupdates",
            {key: value for key, value in wanted.items() if value is not None},
            read_timeout=self.long + self.stall,
        )
        if not isinstance(raws, list):
            raise TelegramError("the server's updates are not a list")
        return raws

    def _take(self, raws: Sequence[Any]) -> int:
        ids = [id for id in map(update_id, raws) if id is not None]
        new = self.keep(raws)
        if ids:
            self._offset = max(ids) + 1
        elif raws:
            raise TelegramError("updates without a number cannot be acknowledged")
        if self.backoff.failures:
            log.info("Telegram is reachable again")
        self._reached = True
        self.backoff.reset()
        return new

    async def _pause(self, why: str, least: float = 0.0) -> None:
        if not self.backoff.failures:
            log.warning("%s; trying again until it works", why)
        await asyncio.sleep(max(least, self.backoff.next()))

    async def _unhook(self, line: BotConnection, conflict: Conflict) -> None:
        """Another consumer takes the updates: a webhook of ours, or another process with this
        token.
        """
        if "webhook" in str(conflict).lower():
            try:
                await line.bot.delete_webhook()
                return
            except TelegramError as error:
                await self._pause(f"the webhook could not be removed: {error}")
        else:
            await self._pause("another program polls with this bot's token: stop it")
