"""Getting a recording or a picture from Telegram."""

from __future__ import annotations

import asyncio
import logging

from telegram import Bot
from telegram.error import BadRequest, Forbidden, NetworkError, RetryAfter, TelegramError

from bot.channels.telegram.backoff import Backoff
from bot.channels.telegram.updates import RemoteFile

log = logging.getLogger("doorround.telegram")

MOST_BYTES = 20_000_000
"""What a bot may fetch. Source: the Bot API, getFile, from memory."""
MOST_SECONDS = 120.0
TRIES = 8

TOO_BIG = "That recording is too big to fetch. Send a shorter one, or tap."
GONE = "Telegram did not give me that recording. Send it again, or tap."
PICTURE_TOO_BIG = "That picture is too big to fetch; it is not kept. Send it as a photo, not as a file."
PICTURE_GONE = "Telegram did not give me that picture; it is not kept. Send it again."


class Unfetched(Exception):
    """A file cannot be had. Says what to do instead."""


async def fetch(bot: Bot, wanted: RemoteFile, first_pause: float = 1.0, picture: bool = False) -> bytes:
    """The bytes of a recording or a picture, tried again while the network fails. Raises Unfetched."""
    too_big, gone = (PICTURE_TOO_BIG, PICTURE_GONE) if picture else (TOO_BIG, GONE)
    if (wanted.bytes or 0) > MOST_BYTES:
        raise Unfetched(too_big)
    backoff = Backoff(first_pause, 30.0)
    while True:
        try:
            async with asyncio.timeout(MOST_SECONDS):
                file = await bot.get_file(wanted.file_id)
                if (file.file_size or 0) > MOST_BYTES:
                    raise Unfetched(too_big)
                got = bytes(await file.download_as_bytearray())
                if len(got) < (file.file_size or 0):
                    raise NetworkError("only a part of the file came")
                return got
        except BadRequest as refused:
            raise Unfetched(too_big if "too big" in str(refused).lower() else gone) from refused
        except Forbidden as refused:
            raise Unfetched(gone) from refused
        except RetryAfter as slower:
            after = slower.retry_after
            await asyncio.sleep(after if isinstance(after, int) else after.total_seconds())
        except (TelegramError, TimeoutError) as error:
            pause = backoff.next()
            if backoff.failures >= TRIES:
                raise Unfetched(gone) from error
            await asyncio.sleep(pause)
