"""Getting a recording from Telegram."""

from __future__ import annotations

import asyncio
import logging

from telegram import Bot
from telegram.error import BadRequest, Forbidden, RetryAfter, TelegramError

from bot.channels.telegram.backoff import Backoff
from bot.channels.telegram.updates import SoundFile

log = logging.getLogger("doorround.telegram")

MOST_BYTES = 20_000_000
"""What a bot may fetch. Source: the Bot API, getFile, from memory."""
MOST_SECONDS = 120.0
TRIES = 8

TOO_BIG = "That recording is too big to fetch. Send a shorter one, or tap."
GONE = "Telegram did not give me that recording. Send it again, or tap."


class Unfetched(Exception):
    """A recording cannot be had. Says what to do instead."""


async def fetch(bot: Bot, sound: SoundFile, first_pause: float = 1.0) -> bytes:
    """The bytes of a recording, tried again while the network fails. Raises Unfetched."""
    if (sound.bytes or 0) > MOST_BYTES:
        raise Unfetched(TOO_BIG)
    backoff = Backoff(first_pause, 30.0)
    while True:
        try:
            async with asyncio.timeout(MOST_SECONDS):
                file = await bot.get_file(sound.file_id)
                if (file.file_size or 0) > MOST_BYTES:
                    raise Unfetched(TOO_BIG)
                return bytes(await file.download_as_bytearray())
        except BadRequest as refused:
            raise Unfetched(TOO_BIG if "too big" in str(refused).lower() else GONE) from refused
        except Forbidden as refused:
            raise Unfetched(GONE) from refused
        except RetryAfter as slower:
            after = slower.retry_after
            await asyncio.sleep(after if isinstance(after, int) else after.total_seconds())
        except (TelegramError, TimeoutError) as error:
            pause = backoff.next()
            if backoff.failures >= TRIES:
                raise Unfetched(GONE) from error
            await asyncio.sleep(pause)
