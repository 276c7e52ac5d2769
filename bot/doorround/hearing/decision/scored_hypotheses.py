"""Scored hypotheses with their evidence, before the decision."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from doorround.hearing.engines.recogniser import NOT_REWRITTEN, Guess, Rewritten

FAR = 100.0
"""Margin, in nats, that stands for "there is no competitor"."""


def _not_rewritten(_prompt: str) -> Rewritten:
    return NOT_REWRITTEN


@dataclass(frozen=True)
class ScoredHypotheses:
    """Guesses, best first, and the evidence for the best.

    seconded: the other engines' first guesses have the same polarity and numbers; None if there is
    no other engine.
    transcript: free transcript, if the best guess needed one; else "".
    write: transcribes freely, if that has not been done; slow. rewrite: transcribes with the first
    listener, given a prompt.
    """

    guesses: tuple[Guess, ...]
    evidence: Mapping[str, float] = field(default_factory=dict)
    seconded: bool | None = None
    transcript: str = ""
    write: Callable[[], str] = field(default=str, compare=False)
    rewrite: Callable[[str], Rewritten] = field(default=_not_rewritten, compare=False)
