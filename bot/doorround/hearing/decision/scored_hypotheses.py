"""What was probably said, with the evidence for and against it, before it is judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from doorround.hearing.engines.recogniser import Guess

FAR = 100.0
"""Nats: stands for "nothing else may be said here"."""


@dataclass(frozen=True)
class ScoredHypotheses:
    """Guesses, best first, and what speaks for the best.

    seconded: the other engine's first guess means the same, with the same numbers; None where there
    is no other engine.
    transcript: what was written freely, where the best had to be all that was said; else "".
    write: writes freely what was said, where that was not done yet; it takes some time.
    """

    guesses: tuple[Guess, ...]
    evidence: Mapping[str, float] = field(default_factory=dict)
    seconded: bool | None = None
    transcript: str = ""
    write: Callable[[], str] = field(default=str, compare=False)
