"""Telegram's updates, files and buttons through the channel interface."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from contextlib import suppress
from datetime import timedelta
from typing import Any

from telegram import Bot
from telegram.constants import ChatAction
from telegram.error import TelegramError

from doorround.channels.messenger.updates import ButtonPress, RemoteFile, Update
from doorround.channels.telegram.inbound.file_download import fetch
from doorround.channels.telegram.wire.updates import CHANNEL, chat_number, read_update, update_id

ACTION_S = 4.5
"""Telegram shows an action for five seconds."""
KEPT_BY_TELEGRAM = timedelta(hours=24)
"""How long Telegram stores updates for an offline bot.

Source: the Bot API, getUpdates, from memory.
"""


class TelegramInbound:
    """An InboundChannel."""

    name = CHANNEL
    keeps_updates = KEPT_BY_TELEGRAM

    def __init__(self, bot: Bot) -> None:
        self._bot = bot

    def numbered(self, raws: Sequence[Any]) -> list[tuple[str, Any]]:
        """Updates with their ids, in ascending order, as Telegram assigns them."""
        known = [(id, raw) for raw in raws if (id := update_id(raw)) is not None]
        return [(str(id), raw) for id, raw in sorted(known, key=lambda each: each[0])]

    def read(self, raw: Any) -> Update:
        """Parse an update. Never raises."""
        return read_update(raw)

    async def fetch(self, file: RemoteFile, held: float, picture: bool = False) -> bytes:
        """A recording or a picture. Raises Unfetched, NotYet."""
        return await fetch(self._bot, file, held, picture)

    async def answer_press(self, press: ButtonPress, toast: str) -> None:
        """Acknowledge a button; if too late, Telegram refuses, which is harmless."""
        with suppress(TelegramError):
            await self._bot.answer_callback_query(press.query, text=toast or None)

    async def show_busy(self, chat: str) -> None:
        """Show "typing" until cancelled."""
        while True:
            with suppress(TelegramError):
                await self._bot.send_chat_action(chat_number(chat), ChatAction.TYPING)
            await asyncio.sleep(ACTION_S)
