"""Synthetic voices for measuring: the dev extra's, plus flite and espeak-ng if installed."""

from __future__ import annotations

import hashlib
import io
import shutil
import subprocess
import tempfile
import wave
from collections.abc import Callable
from pathlib import Path

import numpy as np

from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, Samples, Sound, sound_of
from scripts.make_voice import RATE as VOICE_RATE
from scripts.make_voice import spoken

FIT_VOICES = ("hibari", "flite awb", "flite kal16", "espeak-ng en-us")
MEASURE_VOICES = ("flite slt", "flite rms", "espeak-ng en-gb-x-rp", "espeak-ng en-gb-scotland")
"""Hearing is fitted on the first, nothing on the second. flite and espeak-ng are Debian packages of
these names.
"""

SLOWER = 0.85
QUICKER = 1.15
LOW = 0.9
HIGH = 1.15
LOUDNESS = 0.1
"""Root mean square of what is said."""

EDGE = 0.01
"""Seconds kept beside the words."""

LEAST = 0.012
"""Share of the peak from which something is a word."""

ROOM = 1.5e-4
"""Root mean square of the noise of a quiet room."""


def present(voices: tuple[str, ...]) -> tuple[str, ...]:
    """Those of the voices that are installed here."""
    return tuple(voice for voice in voices if voice == "hibari" or shutil.which(voice.split()[0]))


def said_by(voice: str, words: str) -> Samples:
    """The words in a voice, cut to their sound, 16 kHz: at a speed and pitch that depend on the
    words alone.
    """
    first, second, *_ = hashlib.sha256(words.encode()).digest()
    speed = SLOWER + (QUICKER - SLOWER) * first / 255
    pitch = LOW + (HIGH - LOW) * second / 255
    name, _, kind = voice.partition(" ")
    return _cut(
        {"hibari": _hibari, "flite": _flite, "espeak-ng": _espeak}[name](words, kind, speed, pitch)
    )


def in_quiet(samples: Samples, edge: float, seed: int) -> Sound:
    """The samples in a quiet room. edge: seconds of it before and after."""
    beside = np.zeros(round(edge * RATE), dtype=np.float32)
    whole = np.concatenate([beside, samples, beside])
    return sound_of(
        whole + np.random.default_rng(seed).normal(0, ROOM, len(whole)).astype(np.float32)
    )


def level(samples: Samples, loudness: float = LOUDNESS) -> Samples:
    """The samples at a loudness, as a root mean square."""
    scaled: Samples = np.clip(
        samples * loudness / (np.sqrt(np.mean(samples**2)) + 1e-9), -1, 1
    ).astype(np.float32)
    return scaled


def _cut(samples: Samples) -> Samples:
    loud = np.flatnonzero(np.abs(samples) > LEAST * np.abs(samples).max())
    beside = round(EDGE * RATE)
    return level(samples[max(0, loud[0] - beside) : loud[-1] + 2 * beside])


def _hibari(words: str, _kind: str, speed: float, pitch: float) -> Samples:
    said = spoken(words, speed, pitch)
    written = io.BytesIO()
    with wave.open(written, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(VOICE_RATE)
        file.writeframes((np.clip(said, -1, 1) * 32767).astype("<i2").tobytes())
    return load_sound(written.getvalue()).samples


def _flite(words: str, kind: str, speed: float, _pitch: float) -> Samples:
    return _run(
        lambda path: [
            "flite",
            "-voice",
            kind,
            "--setf",
            f"duration_stretch={1 / speed:.2f}",
            "-t",
            words,
            "-o",
            path,
        ]
    )


def _espeak(words: str, kind: str, speed: float, pitch: float) -> Samples:
    how = ["-v", kind, "-s", str(round(150 * speed)), "-p", str(round(50 * pitch))]
    return _run(lambda path: ["espeak-ng", *how, "-w", path, words])


def _run(command: Callable[[str], list[str]]) -> Samples:
    with tempfile.TemporaryDirectory() as folder:
        path = str(Path(folder) / "said.wav")
        subprocess.run(command(path), check=True, capture_output=True)
        return load_sound(path).samples
