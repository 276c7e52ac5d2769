"""Statistics: intervals, ROC, Brier score, reliability. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence

Z = 1.959964
"""Two-sided 95 % of the normal distribution."""


def wilson(hits: int, trials: int, z: float = Z) -> tuple[float, float]:
    """Low and high end of Wilson's score interval for a share.

    Raises ValueError where there are no trials.
    """
    if trials <= 0:
        raise ValueError("An interval needs a trial.")
    share = hits / trials
    square = z * z
    middle = share + square / (2 * trials)
    reach = z * math.sqrt(share * (1 - share) / trials + square / (4 * trials * trials))
    scale = 1 + square / trials
    return max(0.0, (middle - reach) / scale), min(1.0, (middle + reach) / scale)


def at_most(hits: int, trials: int) -> float:
    """Upper end of 95 % for a share. None seen: the rule of three, 3 / trials; else Wilson's."""
    return min(1.0, 3 / trials) if hits == 0 else wilson(hits, trials)[1]


def brier(probabilities: Sequence[float], right: Sequence[bool]) -> float:
    """Mean squared distance of probabilities from what came true: 0 is perfect, 0.25 is always
    saying one half.
    """
    return sum(
        (chance - true) ** 2 for chance, true in zip(probabilities, right, strict=True)
    ) / len(right)


def roc(scores: Sequence[float], right: Sequence[bool]) -> list[tuple[float, float]]:
    """(share of wrong accepted, share of right accepted) as the threshold falls, from (0, 0) to (1,
    1).
    """
    rights = sum(right)
    wrongs = len(right) - rights
    points = [(0.0, 0.0)]
    good = 0
    bad = 0
    last = math.nan
    for score, true in sorted(zip(scores, right, strict=True), key=lambda each: -each[0]):
        if score == last:
            points.pop()
        good = good + true
        bad = bad + (not true)
        last = score
        points.append((bad / max(1, wrongs), good / max(1, rights)))
    return points


def reliability(
    probabilities: Sequence[float], right: Sequence[bool], bins: int = 10
) -> list[tuple[float, float, int]]:
    """(mean probability, share that came true, how many) of each bin of equal width that holds
    any.
    """
    held: list[list[tuple[float, bool]]] = [[] for _ in range(bins)]
    for chance, true in zip(probabilities, right, strict=True):
        held[min(bins - 1, int(chance * bins))].append((chance, true))
    return [
        (sum(c for c, _ in some) / len(some), sum(t for _, t in some) / len(some), len(some))
        for some in held
        if some
    ]
