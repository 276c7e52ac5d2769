"""The listener's results for a recording: encoded speech, and scored phrases."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.engines.prefix_cache import PrefixCache


@dataclass(frozen=True)
class Score:
    """Score of a phrase. total: nats after prior correction, above 0 is a good match. raw: nats per
    token.

    surprise: nats per token by which Whisper preferred another continuation.
    """

    phrase: str
    total: float
    raw: float
    surprise: float


@dataclass(eq=False)
class Encoded:
    """An encoded recording. states: shape (1, frames / 2, width). frames: mel frames of the
    recording.

    spoken: seconds from the first to the last possible speech.
    """

    states: NDArray[np.float32]
    frames: int
    reached: PrefixCache
    spoken: float
