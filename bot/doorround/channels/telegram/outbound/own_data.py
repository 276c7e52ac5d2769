"""Sends a personal data export as a file."""

from __future__ import annotations

from telegram import Bot

from doorround.channels.messenger.outbound.own_data import FILE
from doorround.messages import people

MAX_BYTES = 50_000_000
"""Upload limit for bots. Source: the Bot API, sendDocument, from memory."""


async def send_own_data(bot: Bot, chat: int, words: str, data: bytes) -> int:
    """Send it, with a line of text. Returns Telegram's id of the message. Raises TelegramError."""
    if len(data) > MAX_BYTES:
        return (await bot.send_message(chat, people.OWN_DATA_TOO_MUCH)).message_id
    return (await bot.send_document(chat, data, caption=words, filename=FILE)).message_id
