"""Synthesisers: one from a package, or a custom command."""

from __future__ import annotations

import shlex
import subprocess
import threading
from collections.abc import Sequence
from typing import Any, Protocol

import numpy as np

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.excerpt import opus
from doorround.hearing.audio.sound import RATE, UnusableAudio

PACKAGE = "package"
OFF = "off"
MAX_SECONDS = 30.0
"""Timeout of a command for one question."""
SEED = 1


class CannotSpeak(Exception):
    """Speech synthesis is not available. Says why, in one line."""


class Voice(Protocol):
    """key: cache key, unchanged as long as the same words sound the same."""

    key: str

    def speak(self, words: str) -> bytes:
        """The words as a voice note, OGG/Opus, mono. Raises CannotSpeak."""


class PackageVoice:
    """The voice of the package hibari-tts (extra `aloud`): English, offline, loaded on
    first use.
    """

    key = "hibari 0.2 heart"
    _RATE = 24_000

    def __init__(self) -> None:
        self._loaded: Any = None
        self._lock = threading.Lock()

    def speak(self, words: str) -> bytes:
        """The words as a voice note. Raises CannotSpeak."""
        with self._lock:
            try:
                if self._loaded is None:
                    from hibari import Hibari

                    self._loaded = Hibari()
                samples = self._loaded(words, seed=SEED)
                return opus(np.asarray(samples, dtype=np.float32), self._RATE)
            except ImportError as missing:
                raise CannotSpeak(
                    'no voice is installed: in doorround\'s checkout run pip install ".[aloud]"'
                ) from missing
            except (
                Exception
            ) as error:  # whatever the synthesiser does, the question was asked in writing
                raise CannotSpeak(f"the voice of the package failed: {error!r}"[:300]) from error


class CommandVoice:
    """A command that reads text on stdin and writes a sound file to stdout, such as espeak-ng
    --stdout.
    """

    def __init__(self, command: Sequence[str]) -> None:
        self.key = f"command {shlex.join(command)}"
        self._command = tuple(command)

    def speak(self, words: str) -> bytes:
        """The words as a voice note. Raises CannotSpeak."""
        try:
            done = subprocess.run(
                self._command,
                input=words.encode(),
                capture_output=True,
                timeout=MAX_SECONDS,
                check=True,
            )
            return opus(load_sound(done.stdout).samples, RATE)
        except (OSError, subprocess.SubprocessError, UnusableAudio) as error:
            raise CannotSpeak(f"{self._command[0]} gave no sound: {error}"[:300]) from error


def voice_named(name: str) -> Voice | None:
    """The voice for a setting: "package" or a command; None for "off".

    Raises ValueError for anything else.
    """
    if name == OFF:
        return None
    if name == PACKAGE:
        return PackageVoice()
    command = shlex.split(name)
    if not command:
        raise ValueError("no command")
    return CommandVoice(command)
