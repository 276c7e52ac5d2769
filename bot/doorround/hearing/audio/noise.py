"""Synthetic noise for fitting and measuring: pink noise, and background speech, at a set level
below the words; and faint noise for estimating the listeners' internal language-model prior.
"""

from collections.abc import Sequence

import numpy as np

from doorround.hearing.audio.sound import RATE, Samples, Sound, sound_of

VOICES = 6
"""Simultaneous speakers."""

SPOKEN = 0.02
"""Fraction of the peak above which a sample counts as speech: pauses are excluded from the speech
level.
"""


FAINT_SECONDS = 2.0
FAINT_LEVEL = 1e-3
"""60 dB below full scale. 0.5 s instead of 2 s at the same level: 96.3 % of ten words instead of
96.9, and one "yes" lost.
"""


def faint() -> Samples:
    """Inaudible white noise, the same each time."""
    noise = np.random.default_rng(0).standard_normal(round(FAINT_SECONDS * RATE))
    return (FAINT_LEVEL * noise).astype(np.float32)


def pink(samples: int, random: np.random.Generator) -> Samples:
    """Noise of equal power in each octave from 20 Hz, like a fan."""
    spectrum = np.fft.rfft(random.standard_normal(samples))
    hertz = np.maximum(np.fft.rfftfreq(samples, 1 / RATE), 20.0)
    return np.fft.irfft(spectrum / np.sqrt(hertz), samples).astype(np.float32)


def voices(samples: int, pool: Sequence[Samples], random: np.random.Generator) -> Samples:
    """Six people saying words from the pool continuously, equally loud."""
    everyone = np.zeros(samples, dtype=np.float32)
    for _ in range(VOICES):
        words: list[Samples] = []
        while sum(map(len, words)) < samples:
            word = pool[int(random.integers(len(pool)))]
            words.append(word / (float(np.sqrt(np.mean(word**2))) + 1e-6))
        everyone += np.concatenate(words)[:samples]
    return everyone


def mixed(sound: Sound, noise: Samples, decibels: float) -> Sound:
    """The sound with noise that many decibels below its words."""
    words = sound.samples[np.abs(sound.samples) > SPOKEN * sound.peak]
    gain = np.sqrt(np.mean(words**2) / np.mean(noise**2)) * 10 ** (-decibels / 20)
    both = sound.samples + gain * noise
    return sound_of((both / max(1.0, float(np.abs(both).max()) / 0.98)).astype(np.float32))
