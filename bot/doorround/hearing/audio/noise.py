"""Noise: pink, and other people talking, at a level under the words, for fitting and measuring; and
faint noise, on which the listeners learn what they would rather hear.
"""

from collections.abc import Sequence

import numpy as np

from doorround.hearing.audio.sound import RATE, Samples, Sound, sound_of

VOICES = 6
"""People who talk at once."""

SPOKEN = 0.02
"""Share of the peak over which a sample counts as spoken: the level of words is taken without the
pauses.
"""


FAINT_SECONDS = 2.0
FAINT_LEVEL = 1e-3
"""60 dB under full scale. 0.5 s instead of 2 s at the same level: 96.3 % of ten words, where 96.9
are heard, and a "yes" lost.
"""


def faint() -> Samples:
    """White noise that nobody would hear, the same each time."""
    noise = np.random.default_rng(0).standard_normal(round(FAINT_SECONDS * RATE))
    return (FAINT_LEVEL * noise).astype(np.float32)


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


def mixed(sound: Sound, noise: Samples, decibels: float) -> Sound:
    """The sound with noise so many decibels under its words."""
    words = sound.samples[np.abs(sound.samples) > SPOKEN * sound.peak]
    gain = np.sqrt(np.mean(words**2) / np.mean(noise**2)) * 10 ** (-decibels / 20)
    both = sound.samples + gain * noise
    return sound_of((both / max(1.0, float(np.abs(both).max()) / 0.98)).astype(np.float32))
