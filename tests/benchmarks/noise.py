"""Synthetic noise, generated from a seed: pink, other people, a plant room, slamming doors, a
radio.
"""

from collections.abc import Sequence

import numpy as np

from doorround.hearing.audio.noise import SPOKEN, mixed, pink, voices
from doorround.hearing.audio.sound import RATE, Samples

__all__ = ["KINDS", "SPOKEN", "hum", "impacts", "mixed", "noise_of", "pink", "radio", "voices"]


def hum(samples: int, random: np.random.Generator) -> Samples:
    """A plant room: mains hum (50 Hz and its harmonics, 100 Hz the strongest, 4 dB less each) over
    a fan's rumble.
    """
    time = np.arange(samples) / RATE
    tones = np.zeros(samples)
    for order in range(1, 21):
        strength = 10 ** (-0.2 * abs(order - 2))
        tones += strength * np.sin(2 * np.pi * 50 * order * time + random.uniform(0, 2 * np.pi))
    fan = pink(samples, random)
    return (tones / np.sqrt(np.mean(tones**2)) + 0.5 * fan / np.sqrt(np.mean(fan**2))).astype(
        np.float32
    )


def impacts(samples: int, random: np.random.Generator) -> Samples:
    """Doors that slam: about two a second, each a burst of noise that dies away in 60 ms and four
    resonances in 150.
    """
    room = np.zeros(samples + RATE)
    time = np.arange(RATE // 2) / RATE
    for _ in range(max(1, round(2 * samples / RATE))):
        slam = random.standard_normal(len(time)) * np.exp(-time / 0.06)
        for hertz in random.uniform(60, 900, 4):
            slam += 1.5 * np.sin(2 * np.pi * hertz * time) * np.exp(-time / 0.15)
        start = int(random.integers(samples))
        room[start : start + len(slam)] += slam
    return room[:samples].astype(np.float32)


def radio(samples: int, pool: Sequence[Samples], random: np.random.Generator) -> Samples:
    """A radio in the next room: one voice after the other over chords of three tones, all between
    300 and 3400 Hz.
    """
    words: list[Samples] = []
    while sum(map(len, words)) < samples:
        word = pool[int(random.integers(len(pool)))]
        words.append(word / (float(np.sqrt(np.mean(word**2))) + 1e-6))
    both = np.concatenate(words)[:samples].astype(np.float64)
    time = np.arange(samples) / RATE
    for start in range(0, samples, RATE // 2):
        for step in (0, 4, 7):
            tone = np.sin(
                2
                * np.pi
                * 440
                * 2 ** ((step + int(random.integers(12))) / 12)
                * time[start : start + RATE // 2]
            )
            both[start : start + RATE // 2] += 0.5 * tone
    spectrum = np.fft.rfft(both)
    hertz = np.fft.rfftfreq(samples, 1 / RATE)
    spectrum[(hertz < 300) | (hertz > 3400)] = 0
    return np.fft.irfft(spectrum, samples).astype(np.float32)


KINDS = ("pink", "voices", "hum", "impacts", "radio")


def noise_of(
    kind: str, samples: int, pool: Sequence[Samples], random: np.random.Generator
) -> Samples:
    """Noise of one of KINDS; pool: words of people, for voices and radio."""
    if kind in ("voices", "radio"):
        return (voices if kind == "voices" else radio)(samples, pool, random)
    return {"pink": pink, "hum": hum, "impacts": impacts}[kind](samples, random)
