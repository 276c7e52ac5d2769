"""One's own data sent as a file."""

from __future__ import annotations

from telegram import Bot

from doorround.channels.messenger.outbound.own_data import FILE

MAX_BYTES = 50_000_000
"""What a bot may send. Source: the Bot API, sendDocument, from memory."""
TOO_BIG = (
    "Your data is more than Telegram takes. Ask your supervisor for it: doorround people data."
)


async def send_own_data(bot: Bot, chat: int, words: str, data: bytes) -> int:
    """Send it, with a line of words. Returns Telegram's id of the message. Raises TelegramError."""
    if len(data) > MAX_BYTES:
        return (await bot.send_message(chat, TOO_BIG)).message_id
    return (await bot.send_document(chat, data, caption=words, filename=FILE)).message_id
