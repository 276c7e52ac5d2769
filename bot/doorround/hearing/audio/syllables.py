"""Counts the syllables of a recording: energy peaks in the vowel band, with a dip on both sides.

After de Jong and Wempe 2009, "Praat script to detect syllable nuclei and measure speech rate
automatically" (from memory): a peak counts if the energy falls by some decibels before the next.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.audio.sound import RATE, Samples

LOW = 250.0
HIGH = 2500.0
"""Frequency band in hertz where vowels are loud and fricatives are not."""

HOP = 160
"""Hop size in samples: 10 ms."""

LENGTH = 400
"""Window size in samples: 25 ms."""

SMOOTH = 5
"""Smoothing window in hops: 50 ms, so that a pulse or crackle is not a syllable."""

DIP = 2.5
"""Minimum dip between two syllables, in decibels."""

QUIET = 18.0
"""Decibels below the maximum at which a peak is no longer a syllable."""


def syllables(samples: Samples) -> int:
    """Number of syllables; 0 in silence."""
    loudness = _loudness(samples)
    if not len(loudness) or loudness.max() < -90:
        return 0
    least = loudness.max() - QUIET
    count = 0
    peak = -np.inf
    dip = -np.inf
    rising = True
    for level in loudness:
        if rising:
            peak = max(peak, level)
            if level < peak - DIP:
                count += int(peak >= least)
                rising = False
                dip = level
        else:
            dip = min(dip, level)
            if level > dip + DIP:
                rising = True
                peak = level
    return count + int(rising and peak >= least)


def _loudness(samples: Samples) -> NDArray[np.float64]:
    """Energy in the vowel band in decibels, every 10 ms, smoothed."""
    count = (len(samples) - LENGTH) // HOP + 1
    if count < 1:
        return np.zeros(0)
    frames = np.lib.stride_tricks.sliding_window_view(samples, LENGTH)[::HOP][:count] * np.hanning(
        LENGTH
    )
    spectrum = np.abs(np.fft.rfft(frames, axis=1)) ** 2
    hertz = np.fft.rfftfreq(LENGTH, 1 / RATE)
    power = spectrum[:, (hertz >= LOW) & (hertz <= HIGH)].sum(axis=1)
    smooth = np.convolve(power, np.ones(SMOOTH) / SMOOTH, mode="same")
    return np.asarray(10 * np.log10(smooth + 1e-10))
