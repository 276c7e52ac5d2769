"""From evidence to the probability of being right: logistic coefficients, kept as data and fitted by a script."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

FILE = Path(__file__).with_name("calibration.toml")

LIMITS: Mapping[str, tuple[float, float]] = {
    # A long phrase that fits adds up to 40 nats, a long clip that does not to -60: no surer than 10 either way.
    "total": (-10.0, 10.0),
    "margin": (0.0, 6.0),
    "decoy": (-10.0, 10.0),
    "loop": (-20.0, 0.0),
    "gap": (0.0, 100.0),
    "log_frames": (2.0, 7.0),
}
"""Evidence is cut to these limits before it is weighed, so that one figure alone never decides."""


@dataclass(frozen=True)
class Calibration:
    """How the evidence of one way of hearing is weighed.

    heard: probability from which a phrase counts as heard; unsure: from which it is offered back as a guess.
    opposite: nats by which a pass must beat the best phrase of opposite meaning.
    """

    bias: float
    weights: Mapping[str, float]
    heard: float
    unsure: float
    opposite: float

    def probability(self, evidence: Mapping[str, float]) -> float:
        """Probability that the best guess is what was said, 0 to 1. Evidence that is missing counts as 0."""
        sum_ = self.bias + sum(weight * limited(name, evidence.get(name, 0.0)) for name, weight in self.weights.items())
        return 1 / (1 + math.exp(-max(-50.0, min(50.0, sum_))))


def limited(name: str, value: float) -> float:
    """One figure cut to its limits."""
    low, high = LIMITS.get(name, (-math.inf, math.inf))
    return max(low, min(high, value))


@lru_cache(maxsize=8)
def read_calibration(way: str, path: Path = FILE) -> Calibration:
    """The coefficients of one way of hearing: pair, listener, pocketsphinx or vosk. Raises KeyError, OSError."""
    table = tomllib.loads(path.read_text(encoding="utf-8"))[way]
    return Calibration(table["bias"], table["weights"], table["heard"], table["unsure"], table["opposite"])
