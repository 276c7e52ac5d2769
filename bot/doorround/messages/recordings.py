"""Recordings: what may be wrong with one, and what to do about it."""

from __future__ import annotations

THE_RECORDING = "The recording"
"""Name of a recording received in a message; a file has its own name."""
TOO_LOUD = "Too loud. Hold the phone a forearm away."
TOO_QUIET = "Too quiet. Hold the phone nearer."
TOO_NOISY = "Too much noise. Turn away from it, speak close to the phone, or tap."
OTHER_VOICES = "Others may be talking. Speak close to the phone, or tap."
CUT_CLOSE = "Leave a moment of quiet before and after you speak, or tap."
"""The recording is cut so close to the words that nothing shows whether others are talking."""
TOO_MUCH_SAID = "That is too much at once. Say it in shorter pieces, or begin with “note”."
DOOR_TOO_LONG = "That is too long for a door's name."
BUSY = (
    "I'm busy with other doors. Your recording is kept, but I haven't listened to it yet: send it"
    " again in a moment, or tap."
)
NOT_WORKED_OUT = "I couldn't make anything of that recording. It is kept. Say it again, or tap."


def and_more(heard: str) -> str:
    """An answer with more around it. heard: the answer, as in the grammar."""
    return f"I heard “{heard}” and more. Say the answer alone, or what is wrong."


def too_short(recording: str, length_s: float) -> str:
    """length_s: in seconds."""
    return (
        f"{recording} is only {length_s:.2f} s long. Hold the button while you speak, then let go."
    )


def too_long(recording: str, max_s: float) -> str:
    """max_s: the maximum length, in seconds."""
    return (
        f"{recording} is longer than {max_s:.0f} s. Send shorter ones, one part of the door each."
    )


def distorted(recording: str) -> str:
    return f"{recording} is too loud and distorted. Hold the phone further away and say it again."


def unreadable(recording: str) -> str:
    """Decoding failed or hung."""
    return f"{recording} can't be read. Record it again, or type."


def no_file(recording: str, why: str) -> str:
    """For a command's file. why: the system's message."""
    return f"{recording} cannot be read: {why}. Check the path."


def empty(recording: str) -> str:
    return f"{recording} is empty. Record it again."


def no_sound(recording: str) -> str:
    return f"{recording} contains no sound. Record it again."


def damaged(recording: str) -> str:
    return f"{recording} is damaged or was cut off on its way. Send it again."


def not_audio(recording: str) -> str:
    return (
        f"{recording} is not a sound recording. Send a voice note, or OGG, WAV, FLAC, MP3 or M4A."
    )


def takes_too_much(recording: str) -> str:
    """Decoding would exceed the memory limit."""
    return f"{recording} takes too much memory to read. Record it again."


def no_phones(recording: str, channels: int, rate_hz: int) -> str:
    """An audio format that only a forged file has."""
    kind = f"{recording} states {channels} channels at {rate_hz} Hz, which no phone records."
    return f"{kind} Record it as mono or stereo, at 8 to 48 kHz."
