"""Cuts the clips that the dialogue wants played out of stored recordings."""

from __future__ import annotations

import re
from pathlib import Path

from doorround.domain.check import Clip
from doorround.hearing.audio.excerpt import excerpt
from doorround.hearing.audio.reader_process import read_apart

_DIGEST = re.compile("[0-9a-f]{64}")


class RecordingGoneError(FileNotFoundError):
    """A recording no longer exists. Says which, and where it was looked for."""


def cut(clip: Clip, recordings: Path, longest_s: float = 3600.0) -> bytes:
    """The clip as a separate voice note: OGG/Opus, mono.

    Raises RecordingGoneError; UnusableAudio or ValueError if the file does not contain it.
    """
    path = recordings / clip.audio_sha256
    if not _DIGEST.fullmatch(clip.audio_sha256) or not path.is_file():
        raise RecordingGoneError(
            f"The recording {clip.audio_sha256[:8]} is gone from {recordings}. Nothing to play."
        )
    sound = read_apart(path.read_bytes(), longest_s)
    return excerpt(sound, clip.start, sound.seconds if clip.end is None else clip.end)


def write_clip(clip: Clip, recordings: Path, folder: Path) -> Path:
    """The clip as a file in a folder, created if missing. Raises what cut() does."""
    end = "end" if clip.end is None else f"{clip.end:.2f}"
    path = folder / f"{clip.audio_sha256[:8]}-{clip.start:.2f}-{end}.ogg"
    sound = cut(clip, recordings)
    folder.mkdir(parents=True, exist_ok=True)
    path.write_bytes(sound)
    return path
