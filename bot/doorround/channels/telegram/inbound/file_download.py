"""Downloads a recording or picture from Telegram."""

from __future__ import annotations

import asyncio

from telegram import Bot
from telegram.error import BadRequest, Forbidden, NetworkError, RetryAfter, TelegramError

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.messenger.channel import HELD_S, NotYet, Unfetched
from doorround.channels.messenger.updates import RemoteFile
from doorround.channels.telegram.transport.errors import seconds_asked
from doorround.messages import photos, receiving

MAX_BYTES = 20_000_000
"""Download limit for bots. Source: the Bot API, getFile, from memory."""
MAX_SECONDS = 120.0
"""Per try: enough for the largest file on a slow line."""


async def fetch(bot: Bot, wanted: RemoteFile, held: float = HELD_S, picture: bool = False) -> bytes:
    """The bytes of a recording or picture, retried for `held` seconds on network failures or rate
    limiting. Raises Unfetched, NotYet.
    """
    too_big, gone = (
        (photos.TOO_BIG, photos.GONE)
        if picture
        else (receiving.RECORDING_TOO_BIG, receiving.RECORDING_GONE)
    )
    if (wanted.bytes or 0) > MAX_BYTES:
        raise Unfetched(too_big)
    backoff = Backoff(1.0, 30.0)
    clock = asyncio.get_running_loop().time
    until = clock() + held
    while True:
        try:
            async with asyncio.timeout(MAX_SECONDS):
                return await _once(bot, wanted, too_big)
        except BadRequest as refused:
            raise Unfetched(too_big if "too big" in str(refused).lower() else gone) from refused
        except Forbidden as refused:
            raise Unfetched(gone) from refused
        except (TelegramError, TimeoutError) as error:
            pause = seconds_asked(error) if isinstance(error, RetryAfter) else backoff.next()
            if clock() + pause > until:
                raise NotYet(
                    photos.LATER if picture else receiving.RECORDING_LATER, gone
                ) from error
        await asyncio.sleep(pause)


async def _once(bot: Bot, wanted: RemoteFile, too_big: str) -> bytes:
    file = await bot.get_file(wanted.file_id)
    if (file.file_size or 0) > MAX_BYTES:
        raise Unfetched(too_big)
    got = bytes(await file.download_as_bytearray())
    if len(got) < (file.file_size or 0):
        raise NetworkError("only a part of the file came")
    return got
