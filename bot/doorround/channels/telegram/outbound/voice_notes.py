"""Voice notes from the bot: a clip of a recording, or a question read aloud."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from pathlib import Path

from telegram import Bot

from doorround.channels.talk.playback import RecordingGoneError, cut
from doorround.domain.check import Clip
from doorround.hearing.audio.sound import UnusableAudio
from doorround.logbook.outgoing import Outgoing
from doorround.messages import receiving

MAX_CAPTION = 1024
ALOUD_S = 10.0
"""Timeout for sending a read-aloud note; it must not delay the next question."""


class Unsendable(Exception):
    """A voice note is not available. Says why, in one line."""


async def send_voice(
    bot: Bot, chat: int, out: Outgoing, recordings: Path, spoken: Callable[[str], bytes]
) -> int:
    """Send a message's audio clip, or only its text if the audio is gone. Returns Telegram's id of
    the message.

    spoken: a read-aloud voice note, by its name. Raises Unsendable, TelegramError, TimeoutError.
    """
    if out.aloud is not None:
        try:
            sound = await asyncio.to_thread(spoken, out.aloud)
        except OSError as error:
            raise Unsendable(f"what was read aloud is gone: {error}") from error
        async with asyncio.timeout(ALOUD_S):
            return (await bot.send_voice(chat, sound, disable_notification=True)).message_id
    assert out.clip is not None
    sha256, start, end = out.clip
    try:
        sound = await asyncio.to_thread(
            cut, Clip(audio_sha256=sha256, start=start, end=end), recordings
        )
    except (RecordingGoneError, UnusableAudio, ValueError):
        return (await bot.send_message(chat, f"{out.text} {receiving.CLIP_GONE}")).message_id
    return (await bot.send_voice(chat, sound, caption=out.text[:MAX_CAPTION])).message_id
