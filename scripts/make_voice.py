"""Small voice files for tests and demo, from a synthesiser whose package includes its voice.

Run: python scripts/make_voice.py FOLDER PHRASE [PHRASE …]
"""

from __future__ import annotations

import re
import sys
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE = 24_000
BIT_RATE = 20_000
SEED = 1
LEAD_S = 0.25
"""Seconds of room before the words: a thumb on the button."""
TAIL_S = 0.35
"""Seconds of room after them: the thumb off it."""

Samples = NDArray[np.float32]


@lru_cache(maxsize=1)
def _voice() -> Any:
    from hibari import Hibari

    return Hibari()


def spoken(words: str, speed: float = 1.0, pitch: float = 1.0) -> Samples:
    """Words as samples: float32, mono, 24 kHz. speed: speaking rate. pitch: by resampling."""
    said: Samples = np.asarray(_voice()(words, speed=speed / pitch, seed=SEED), dtype=np.float32)
    if pitch != 1.0:
        places = np.arange(0, len(said) - 1, pitch)
        said = np.interp(places, np.arange(len(said)), said).astype(np.float32)
    return said


def silence(seconds: float) -> Samples:
    """A quiet room: faint noise, because no microphone records zeros."""
    noise = np.random.default_rng(SEED).standard_normal(round(seconds * RATE), dtype=np.float32)
    return noise * np.float32(2e-4)


def rumble(seconds: float, level: float = 0.2) -> Samples:
    """A passing lorry: low noise that swells and fades, with the beat of an engine."""
    count = round(seconds * RATE)
    white = np.random.default_rng(SEED).standard_normal(count)
    spectrum = np.fft.rfft(white)
    hertz = np.fft.rfftfreq(count, 1 / RATE)
    low = np.fft.irfft(spectrum / (1 + (hertz / 90.0) ** 2), count)
    time = np.arange(count) / RATE
    beat = 1 + 0.5 * np.sin(2 * np.pi * 27 * time)
    swell = np.sin(np.pi * time / seconds) ** 2
    sound = low / np.abs(low).max() * beat * swell
    passing: Samples = (level * sound / np.abs(sound).max()).astype(np.float32)
    return passing


def in_a_room(said: Samples) -> Samples:
    """The samples with a moment of quiet room before and after."""
    framed = np.concatenate(
        [np.zeros(round(LEAD_S * RATE)), said, np.zeros(round(TAIL_S * RATE))]
    ).astype(np.float32)
    return framed + silence(len(framed) / RATE)[: len(framed)]


def resampled(samples: Samples, before: int, after: int) -> Samples:
    """Samples at another sample rate."""
    places = np.linspace(0, len(samples) - 1, round(len(samples) * after / before))
    there: Samples = np.interp(places, np.arange(len(samples)), samples).astype(np.float32)
    return there


def save(samples: Samples, path: Path) -> None:
    """Write samples as a voice note: OGG/Opus, mono, 20 kbit/s."""
    import av

    with av.open(str(path), "w", format="ogg") as container:
        stream: Any = container.add_stream("libopus", rate=48_000)
        stream.layout = "mono"
        stream.bit_rate = BIT_RATE
        frame = av.AudioFrame.from_ndarray(samples[None, :], format="flt", layout="mono")
        frame.sample_rate = RATE
        resampler = av.AudioResampler(format="flt", layout="mono", rate=48_000)
        for piece in [*resampler.resample(frame), *resampler.resample(None)]:
            for packet in stream.encode(piece):
                container.mux(packet)
        for packet in stream.encode(None):
            container.mux(packet)


def say(words: str, path: Path, speed: float = 1.0, pitch: float = 1.0) -> None:
    """Synthesise words into a voice note."""
    save(in_a_room(spoken(words, speed, pitch)), path)


def main() -> None:
    """Synthesise every phrase into the folder."""
    folder, *phrases = sys.argv[1:]
    Path(folder).mkdir(parents=True, exist_ok=True)
    for phrase in phrases:
        say(phrase, Path(folder) / f"{re.sub(r'[^a-z0-9]+', '-', phrase.lower()).strip('-')}.ogg")


if __name__ == "__main__":
    main()
