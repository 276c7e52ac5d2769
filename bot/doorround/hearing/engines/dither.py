"""Dither for PocketSphinx, whose noise tracker cannot handle digital silence."""

from __future__ import annotations

import numpy as np

from doorround.hearing.audio.sound import RATE, Samples

PADDING = 0.15
"""Seconds of faint noise before and after.

Without: 98.9, 93.5, 75 %: words that touch the edge of a clip suffer.
"""


DITHER_DB = 35.0
"""Level of white noise relative to the speech, since digital silence upsets the noise tracker.
Without: 99.4, 94.0, 75 %; at 40 dB 99.4, 94.4, 87; at 30 dB 99.4, 93.5, 85. On the reporting half
40 and 35 dB differ by a clip or two.
"""


DITHER_SEED = 1
"""Fixed seed, so that recognition is deterministic."""


def conditioned(samples: Samples) -> bytes:
    """16-bit samples with faint white noise added."""
    level = float(np.sqrt(np.mean(np.square(samples)))) if len(samples) else 0.0
    padded = np.pad(samples, round(PADDING * RATE))
    noise = (
        np.random.default_rng(DITHER_SEED).standard_normal(len(padded))
        * level
        * 10 ** (-DITHER_DB / 20)
    )
    return np.asarray(np.clip(padded + noise, -1.0, 1.0) * 32767, dtype="<i2").tobytes()
