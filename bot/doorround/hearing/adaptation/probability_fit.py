"""Fits probabilities to evidence: that the best guess was said, and that its opposite was."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from doorround.hearing.decision.calibration import LogisticModel, limited

RIDGE = 1.0
"""Regularisation weight: with some thousand trials it affects the second decimal."""

MIN_TRIALS = 100
"""Minimum number of trials; fewer say nothing about one wrong answer in a hundred."""


@dataclass(frozen=True)
class Trial:
    """One recognised recording. right: whether the best guess was what was said. opposed: whether
    its opposite was; None for a guess without an opposite. noise: kind added, "" for none. weight:
    number of similar cases it represents.
    """

    evidence: Mapping[str, float]
    right: bool
    opposed: bool | None = None
    noise: str = ""
    weight: float = 1.0


def fit_right(trials: Sequence[Trial], names: Sequence[str]) -> LogisticModel:
    """The probability that the best guess was said.

    Raises ValueError if there is too little data.
    """
    return _line(trials, names, [trial.right for trial in trials])


def fit_opposite(trials: Sequence[Trial], names: Sequence[str]) -> LogisticModel:
    """The probability that the opposite of the best guess was said, from guesses that have one."""
    some = [trial for trial in trials if trial.opposed is not None]
    return _line(some, names, [bool(trial.opposed) for trial in some])


class ProbabilityModel(Protocol):
    """One or several logistic lines giving the confidence."""

    def probability(self, evidence: Mapping[str, float]) -> float:
        """0 to 1."""
        ...


def brier(lines: ProbabilityModel, trials: Sequence[Trial]) -> float:
    """Mean squared error of the probability, 0 (best) to 1: Brier 1950, "Verification of forecasts
    expressed in terms of probability".
    """
    return float(
        np.mean([(lines.probability(trial.evidence) - trial.right) ** 2 for trial in trials])
    )


def enough(trials: Sequence[Trial], happened: Sequence[bool]) -> bool:
    """Whether these trials are enough to fit a line."""
    return len(trials) >= MIN_TRIALS and any(happened) and not all(happened)


def _line(trials: Sequence[Trial], names: Sequence[str], happened: Sequence[bool]) -> LogisticModel:
    if not enough(trials, happened):
        seldom = min(sum(happened), len(happened) - sum(happened))
        raise ValueError(
            f"{len(trials)} recordings, {seldom} of them heard otherwise, are too few to fit on. "
            f"Give at least {MIN_TRIALS}, among them words that are not an answer."
        )
    rows = np.array(
        [
            [1.0, *(limited(name, trial.evidence.get(name, 0.0)) for name in names)]
            for trial in trials
        ]
    )
    counts = np.array([trial.weight for trial in trials])
    beta = _logistic(rows, np.array(happened, dtype=np.float64), counts)
    weights = {name: round(float(weight), 4) for name, weight in zip(names, beta[1:], strict=True)}
    return LogisticModel(round(float(beta[0]), 4), weights)


def _logistic(
    rows: NDArray[np.float64],
    happened: NDArray[np.float64],
    counts: NDArray[np.float64],
    steps: int = 50,
) -> NDArray[np.float64]:
    """Newton's method (iteratively reweighted least squares) with a ridge on all but the bias."""
    beta = np.zeros(rows.shape[1])
    ridge = RIDGE * np.eye(rows.shape[1])
    ridge[0, 0] = 0.0
    for _ in range(steps):
        probable = 1 / (1 + np.exp(-np.clip(rows @ beta, -50, 50)))
        curve = rows.T @ (rows * (counts * (probable * (1 - probable) + 1e-9))[:, None]) + ridge
        beta = beta + np.linalg.solve(
            curve, rows.T @ (counts * (happened - probable)) - ridge @ beta
        )
    return beta
