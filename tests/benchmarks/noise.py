"""Noise to hear through, all made here from a seed: pink, other people, a plant room, slamming doors, a radio."""

from collections.abc import Sequence

import numpy as np

from bot.hearing.audio import RATE, Samples, Sound, sound_of

VOICES = 6
"""People who talk at once."""

SPOKEN = 0.02
"""Share of the peak over which a sample counts as spoken: the level of words is taken without the pauses."""


def pink(samples: int, random: np.random.Generator) -> Samples:
    """Noise of equal power in each octave from 20 Hz, as a ventilator makes."""
    spectrum = np.fft.rfft(random.standard_normal(samples))
    hertz = np.maximum(np.fft.rfftfreq(samples, 1 / RATE), 20.0)
    return np.fft.irfft(spectrum / np.sqrt(hertz), samples).astype(np.float32)


def voices(samples: int, pool: Sequence[Samples], random: np.random.Generator) -> Samples:
    """Six people saying words of the pool all the time, each as loud as the others."""
    everyone = np.zeros(samples, dtype=np.float32)
    for _ in range(VOICES):
        words: list[Samples] = []
        while sum(map(len, words)) < samples:
            word = pool[int(random.integers(len(pool)))]
            words.append(word / (float(np.sqrt(np.mean(word**2))) + 1e-6))
        everyone += np.concatenate(words)[:samples]
    return everyone


def hum(samples: int, random: np.random.Generator) -> Samples:
    """A plant room: mains hum (50 Hz and its harmonics, 100 Hz the strongest, 4 dB less each) over a fan's rumble."""
    time = np.arange(samples) / RATE
    tones = np.zeros(samples)
    for order in range(1, 21):
        strength = 10 ** (-0.2 * abs(order - 2))
        tones += strength * np.sin(2 * np.pi * 50 * order * time + random.uniform(0, 2 * np.pi))
    fan = pink(samples, random)
    return (tones / np.sqrt(np.mean(tones**2)) + 0.5 * fan / np.sqrt(np.mean(fan**2))).astype(np.float32)


def impacts(samples: int, random: np.random.Generator) -> Samples:
    """Doors that slam: about two a second, each a burst of noise that dies away in 60 ms and four resonances in 150."""
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
    """A radio in the next room: one voice after the other over chords of three tones, all between 300 and 3400 Hz."""
    words: list[Samples] = []
    while sum(map(len, words)) < samples:
        word = pool[int(random.integers(len(pool)))]
        words.append(word / (float(np.sqrt(np.mean(word**2))) + 1e-6))
    both = np.concatenate(words)[:samples].astype(np.float64)
    time = np.arange(samples) / RATE
    for start in range(0, samples, RATE // 2):
        for step in (0, 4, 7):
            tone = np.sin(
                2 * np.pi * 440 * 2 ** ((step + int(random.integers(12))) / 12) * time[start : start + RATE // 2]
            )
            both[start : start + RATE // 2] += 0.5 * tone
    spectrum = np.fft.rfft(both)
    hertz = np.fft.rfftfreq(samples, 1 / RATE)
    spectrum[(hertz < 300) | (hertz > 3400)] = 0
    return np.fft.irfft(spectrum, samples).astype(np.float32)


KINDS = ("pink", "voices", "hum", "impacts", "radio")


def noise_of(kind: str, samples: int, pool: Sequence[Samples], random: np.random.Generator) -> Samples:
    """Noise of one of KINDS; pool: words of people, for voices and radio."""
    if kind in ("voices", "radio"):
        return (voices if kind == "voices" else radio)(samples, pool, random)
    return {"pink": pink, "hum": hum, "impacts": impacts}[kind](samples, random)


def mixed(sound: Sound, noise: Samples, decibels: float) -> Sound:
    """The sound with noise so many decibels under its words."""
    words = sound.samples[np.abs(sound.samples) > SPOKEN * sound.peak]
    gain = np.sqrt(np.mean(words**2) / np.mean(noise**2)) * 10 ** (-decibels / 20)
    both = sound.samples + gain * noise
    return sound_of((both / max(1.0, float(np.abs(both).max()) / 0.98)).astype(np.float32))
