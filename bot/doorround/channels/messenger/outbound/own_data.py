"""One's own data as a file for its person, made when it is sent: nothing of it lies about
anywhere.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from telegram import Bot

from doorround.logbook.recordings import own_data
from doorround.logbook.store import Logbook

FILE = "mydata.json"
MAX_BYTES = 50_000_000
"""What a bot may send. Source: the Bot API, sendDocument, from memory."""
TOO_BIG = (
    "Your data is more than Telegram takes. Ask your supervisor for it: doorround people data."
)


def own_data_file(
    path: Path, zone: str, recordings: Path, clock: Callable[[], datetime], name: str
) -> bytes:
    """All that is kept of a person, as JSON. path: the logbook, opened anew: this may take seconds,
    in a thread.
    """
    with Logbook.open(path, zone) as logbook:
        data = own_data(logbook, name, recordings, clock())
    return json.dumps(data, ensure_ascii=False, indent=2).encode("utf-8")


async def send_own_data(bot: Bot, chat: int, words: str, data: bytes) -> int:
    """Send it, with a line of words. Returns Telegram's id of the message. Raises TelegramError."""
    if len(data) > MAX_BYTES:
        return (await bot.send_message(chat, TOO_BIG)).message_id
    return (await bot.send_document(chat, data, caption=words, filename=FILE)).message_id
