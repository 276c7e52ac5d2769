"""Sends a stored photo with its text."""

from __future__ import annotations

import asyncio
from pathlib import Path

from telegram import Bot

from doorround.logbook.outgoing import Outgoing
from doorround.messages.query_answers import PHOTO_GONE

MAX_CAPTION = 1024
"""Caption limit in characters. Source: the Bot API, sendPhoto, from memory."""
FOLDERS = ("photos", "evidence")
"""Beside the recordings: photos sent in a chat, and files given with a repair."""
PICTURES = (".jpg", ".jpeg", ".png", ".webp")


async def send_kept_photo(bot: Bot, chat: int, out: Outgoing, recordings: Path) -> int:
    """Send a photo by its hash, or only its text if it was deleted or is not a picture. Returns
    Telegram's id of the message. Raises TelegramError, TimeoutError.
    """
    path = stored_photo(recordings.parent, out.photo or "")
    if path is None:
        return (await bot.send_message(chat, f"{out.text} {PHOTO_GONE}")).message_id
    data = await asyncio.to_thread(path.read_bytes)
    return (await bot.send_photo(chat, data, caption=out.text[:MAX_CAPTION])).message_id


def stored_photo(home: Path, sha256: str) -> Path | None:
    """The file of a stored picture; None if it no longer exists."""
    for folder in FOLDERS:
        for path in sorted((home / folder).glob(f"{sha256}*")):
            if path.stem == sha256 and path.suffix.lower() in PICTURES:
                return path
    return None
