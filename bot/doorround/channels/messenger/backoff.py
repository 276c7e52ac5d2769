"""Exponential back-off with jitter."""

from __future__ import annotations

import random


class Backoff:
    """Seconds to wait after consecutive failures: first, doubling each time, up to most, each
    reduced at random by up to half.
    """

    def __init__(
        self, first: float = 1.0, most: float = 60.0, chance: random.Random | None = None
    ) -> None:
        self._first = first
        self._most = most
        self._chance = chance or random.Random()
        self.failures = 0

    def next(self) -> float:
        """Seconds to wait after one more failure."""
        whole = min(self._most, self._first * float(1 << min(self.failures, 30)))
        self.failures += 1
        return whole * self._chance.uniform(0.5, 1.0)

    def reset(self) -> None:
        """Reset after a success."""
        self.failures = 0
