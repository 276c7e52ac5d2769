"""What was probably said, with the evidence for and against it, before it is judged."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from doorround.hearing.engines.recogniser import NOT_REWRITTEN, Guess, Rewritten

FAR = 100.0
"""Nats: stands for "nothing else may be said here"."""


def _not_rewritten(_prompt: str) -> Rewritten:
    return NOT_REWRITTEN


@dataclass(frozen=True)
class ScoredHypotheses:
    """Guesses, best first, and what speaks for the best.

    seconded: the other engine's first guess means the same, with the same numbers; None where there
    is no other engine.
    transcript: what was written freely, where the best had to be all that was said; else "".
    write: writes freely what was said, where that was not done yet; it takes some time. rewrite:
    has the first listener write it, given a prompt.
    """

    guesses: tuple[Guess, ...]
    evidence: Mapping[str, float] = field(default_factory=dict)
    seconded: bool | None = None
    transcript: str = ""
    write: Callable[[], str] = field(default=str, compare=False)
    rewrite: Callable[[str], Rewritten] = field(default=_not_rewritten, compare=False)
