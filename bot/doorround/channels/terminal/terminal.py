"""A visit in a terminal: type, give the path of a voice file, or record if there is a
microphone.
"""

from __future__ import annotations

import io
import re
import wave
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from typing import Any

from doorround.channels.talk.exchange import Incoming, TalkReply
from doorround.channels.talk.playback import RecordingGoneError
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Clip, Prompt, PromptKind
from doorround.domain.input_result import By
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE
from doorround.messages import receiving

HELP_LINE = (
    "Type an answer, :1 for the first button, the path of a voice file, or record. Ctrl-D pauses."
)
SOUND_ENDINGS = (".ogg", ".oga", ".opus", ".wav", ".flac", ".mp3", ".m4a", ".mp4", ".webm")
OTHER_ENDINGS = (".wave", ".aac", ".amr", ".wma", ".3gp", ".mov", ".jpg", ".jpeg", ".png", ".pdf")
"""File extensions that are not recordings, or are unsupported."""
RECORD_RATE = 16_000


class MistypedError(ValueError):
    """A button or file that does not exist: not an answer, and nothing to enter. Says
    what to do.
    """


class NoMicrophoneError(RuntimeError):
    """There is no microphone to record with. Says what to do instead."""


def sound_file(text: str) -> Path | None:
    """The file that a typed line names; None if it is not an existing sound file."""
    try:
        path = Path(_unquoted(text)).expanduser()
        return path if path.suffix.lower() in SOUND_ENDINGS and path.is_file() else None
    except (OSError, ValueError, RuntimeError):
        # too long for a file name, or with an unknown home folder
        return None


def prompt_lines(prompts: tuple[Prompt, ...]) -> list[str]:
    """Messages as terminal lines, each with its buttons underneath, numbered consecutively across
    messages.
    """
    lines = []
    count = 1
    for prompt in prompts:
        lines.append(f"bot: {'! ' if prompt.kind is PromptKind.CAUTION else ''}{prompt.text}")
        if prompt.taps:
            lines.append(
                "     "
                + "  ".join(f":{place} {tap}" for place, tap in enumerate(prompt.taps, count))
            )
        count += len(prompt.taps)
    return lines


def as_incoming(text: str, id: str, taps: tuple[str, ...], record: Callable[[], bytes]) -> Incoming:
    """Classify a typed line: a button, a voice file, a recording to make, or words.

    Raises MistypedError.
    """
    if button := re.fullmatch(r"\s*:[:\s]*(\S*)\s*", text):
        return Incoming(id, text=_button(button[1], taps), tapped=True)
    if text.strip().lower() == "record":
        return Incoming(id, recording=record())
    path = sound_file(text)
    if path is None and _names_sound_file(text):
        told = receiving.no_sound if _is_there(text) else receiving.no_file
        raise MistypedError(told(text.strip()))
    return Incoming(id, recording=path.read_bytes()) if path else Incoming(id, text=text)


def _button(named: str, taps: tuple[str, ...]) -> str:
    """The words of the button of that number. Raises MistypedError."""
    place = int(named) if re.fullmatch(r"[0-9]{1,9}", named) else 0
    if not 1 <= place <= len(taps):
        raise MistypedError(receiving.no_button(named or ":", len(taps)))
    return taps[place - 1]


_PATH = re.compile(r"~[\\/]|\.{1,2}[\\/]|[\\/]\S*[\\/.]|[a-z]:[\\/]", re.IGNORECASE)
"""Prefixes of a path. "/skip" is a command, as on a messenger."""


def _names_sound_file(text: str) -> bool:
    """Whether a line is meant as the path of a voice file: it begins like a path, or is one word
    with a file extension.
    """
    plain = _unquoted(text)
    if _PATH.match(plain):
        return True
    return " " not in plain and plain.lower().endswith((*SOUND_ENDINGS, *OTHER_ENDINGS))


def _is_there(text: str) -> bool:
    try:
        return Path(_unquoted(text)).expanduser().is_file()
    except (OSError, ValueError, RuntimeError):
        return False


def _unquoted(text: str) -> str:
    return text.strip().strip("'\"")


def converse(
    talk: Talk,
    first: TalkReply,
    read: Callable[[], str],
    write: Callable[[str], None],
    clock: Callable[[], datetime],
    record: Callable[[], bytes],
    door_after_door: bool = False,
    aloud: Callable[[Path], None] = lambda path: None,
) -> None:
    """Lead one check to its end, or until `read` raises EOFError; the talk can then be resumed.

    read: one typed line. write: one line to show. clock: the time in UTC. record: a recording as
    WAV bytes.
    door_after_door: ask which door, and after each check which next, until `read` ends it. aloud:
    plays a sound file.
    """
    reply = first
    at_a_door = talk.check is not None
    while True:
        _write_reply(talk, reply, write, aloud)
        door_after_door = door_after_door or reply.asks_door
        if talk.check is None and not reply.asks_door and (at_a_door or not door_after_door):
            if not door_after_door:
                return
            reply = talk.ask_door(clock())
            at_a_door = False
            continue
        at_a_door = talk.check is not None
        taps = tuple(tap for prompt in reply.say for tap in prompt.does or prompt.taps)
        try:
            incoming = as_incoming(read(), f"{clock():%Y%m%dT%H%M%S.%f}", taps, record)
        except (NoMicrophoneError, MistypedError) as missing:
            write(f"bot: {missing}")
            continue
        reply = talk.take(incoming, clock())
        if reply.heard is not None and reply.heard.by is By.VOICE:
            write(f"     heard: {_heard_words(reply)}")


def _write_reply(
    talk: Talk, reply: TalkReply, write: Callable[[str], None], aloud: Callable[[Path], None]
) -> None:
    for line in prompt_lines(reply.say):
        write(line)
    for prompt in reply.say:
        if prompt.clip:
            write(f"     sound: {_clip_file(talk, prompt.clip, aloud)}")


def _clip_file(talk: Talk, clip: Clip, aloud: Callable[[Path], None]) -> str:
    """The file of a clip, once played; or why there is none."""
    try:
        path = talk.clip_file(clip)
    except (RecordingGoneError, ValueError) as gone:
        return str(gone)
    aloud(path)
    return str(path)


def play_aloud(path: Path) -> None:
    """Play a sound file if there is a loudspeaker; if not, its path is shown all the same."""
    try:
        import sounddevice
    except (ImportError, OSError):
        return
    with suppress(sounddevice.PortAudioError):
        sounddevice.play(load_sound(path).samples, RATE, blocking=True)


def _heard_words(reply: TalkReply) -> str:
    heard = reply.heard
    words = getattr(heard, "words", None)
    if words:
        return (
            f"“{words}” ({getattr(heard, 'probability', 0):.2f})"
            if hasattr(heard, "probability")
            else f"“{words}”"
        )
    return heard.kind.replace("_", " ") if heard else ""


def record_until_enter(read: Callable[[], str], longest_s: float = 60.0) -> bytes:
    """Record from the microphone until Enter is pressed; WAV, 16 kHz, mono.

    Raises NoMicrophoneError.
    """
    try:
        import sounddevice
    except (ImportError, OSError) as error:
        raise NoMicrophoneError(
            "No microphone library here (PortAudio). Type, or give the path of a file."
        ) from error
    blocks: list[bytes] = []
    most = int(longest_s * RECORD_RATE) * 2

    def keep(block: Any, _frames: int, _time: Any, _status: Any) -> None:
        if sum(map(len, blocks)) < most:
            blocks.append(bytes(block))

    try:
        with sounddevice.RawInputStream(
            samplerate=RECORD_RATE, channels=1, dtype="int16", callback=keep
        ):
            read()
    except sounddevice.PortAudioError as error:
        raise NoMicrophoneError(
            "No microphone found. Type, or give the path of a voice file."
        ) from error
    return as_wav(b"".join(blocks))


def as_wav(samples: bytes) -> bytes:
    """Raw 16-bit mono samples at 16 kHz as a WAV file."""
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RECORD_RATE)
        file.writeframes(samples)
    return out.getvalue()
