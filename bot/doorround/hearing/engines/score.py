"""What the listener makes of a recording: its speech as the model sees it, phrases with scores."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.engines.prefix_cache import PrefixCache


@dataclass(frozen=True)
class Score:
    """How well a phrase fits. total: nats after the prior correction, above 0 is a good fit. raw:
    nats a token.

    surprise: nats a token by which Whisper would have gone on otherwise, had it been free to.
    """

    phrase: str
    total: float
    raw: float
    surprise: float


@dataclass(eq=False)
class Encoded:
    """A recording as the model sees it. states: shape (1, frames / 2, width). frames: mel frames of
    the recording.

    spoken: seconds from the first to the last of anything like speech.
    """

    states: NDArray[np.float32]
    frames: int
    reached: PrefixCache
    spoken: float
