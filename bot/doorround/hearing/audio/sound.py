"""A recording as samples, and what can be wrong with it."""

from __future__ import annotations

import hashlib
import math
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    pass


Samples = NDArray[np.float32]


RATE = 16_000
"""Sample rate of every Sound: what all engines were trained on."""


MIN_SECONDS = 0.1
"""The shortest human "no" of the speech set is voiced for 0.16 s; anything under 0.1 s is an
accidental tap.
"""


FULL_SCALE = 0.985
"""A sample this close to full scale counts as clipped: Opus and resampling round off the flat tops
a little.
"""


TOO_CLIPPED = 0.6
"""Share of clipped samples in the loudest half second above which a recording is rejected.

Of the 354 ten-word clips of the tuning half the worst is at 0.52 and is recognised correctly. 50
clipped x5, x10, x30 (median share 0.13, 0.26, 0.47): 49, 46, 40 correct with the pair; a limit of
0.1 would reject 134 of these 150. Repeat: python -m tests.benchmarks.bench_level.
"""


class UnusableAudio(Exception):
    """An unusable recording. problem: a key; str(): what happened and what to do, one line."""

    def __init__(self, problem: str, message: str) -> None:
        super().__init__(message)
        self.problem = problem


@dataclass(frozen=True, eq=False)
class Sound:
    """One decoded recording. samples: float32, mono, 16 kHz, full scale 1.0. sha256: of the
    original bytes.

    peak: largest magnitude, 0 to slightly above 1. level_dbfs: root mean square in dB below full
    scale, -inf for digital silence. clipped: share of samples at full scale in the loudest half
    second, 0 to 1. torn: may be truncated: an OGG file without the last-page flag. from_start:
    whether it begins at the start of the recording.
    """

    samples: Samples
    sha256: str
    peak: float
    level_dbfs: float
    clipped: float
    name: str = field(default="recording")
    torn: bool = False
    from_start: bool = True

    @property
    def seconds(self) -> float:
        """Length in seconds."""
        return len(self.samples) / RATE

    def cut(self, start: float, end: float) -> Sound:
        """The part from `start` to `end` seconds, measured again; the hash stays that of the whole
        recording.
        """
        first = max(0, round(start * RATE))
        last = round(end * RATE)
        return replace(
            sound_of(self.samples[first:last], self.sha256, self.name),
            torn=self.torn,
            from_start=self.from_start and not first,
        )


def sound_of(samples: Samples, sha256: str | None = None, name: str = "recording") -> Sound:
    """A Sound from samples that are already 16 kHz mono float32; without `sha256` the samples are
    hashed.
    """
    samples = np.ascontiguousarray(samples, dtype=np.float32)
    digest = sha256 or hashlib.sha256(samples.tobytes()).hexdigest()
    if not len(samples):
        return Sound(samples, digest, 0.0, -math.inf, 0.0, name)
    power = float(np.mean(np.square(samples, dtype=np.float64)))
    level = 10 * math.log10(power) if power > 0 else -math.inf
    return Sound(
        samples, digest, float(np.abs(samples).max()), level, _clipped_share(samples), name
    )


def _clipped_share(samples: Samples) -> float:
    window = RATE // 2
    flat = (np.abs(samples) >= FULL_SCALE).astype(np.int64)
    if len(flat) <= window:
        return float(flat.mean())
    sums = np.concatenate(([0], np.cumsum(flat)))
    return float((sums[window:] - sums[:-window]).max() / window)
