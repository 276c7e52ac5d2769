"""Fitting evidence to the probability of being right."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bot.hearing.calibration import limited

REFUSED = 0.04
"""Share of right answers that may be refused at the operating point. 6 % may be, on speakers not tuned on."""

LOST = 0.0005
"""Share of right answers that may be so improbable that they are not even offered back."""

LEAST_SURE = 0.6
"""Nothing less probable is ever heard, whatever it costs: PocketSphinx alone would call 0.17 an answer."""

RIDGE = 1.0
"""Weight that keeps coefficients small: with some thousand trials it moves the second decimal."""


@dataclass(frozen=True)
class Trial:
    """One clip heard for one list of phrases. right: whether the best guess was what was said."""

    evidence: dict[str, float]
    right: bool


@dataclass(frozen=True)
class Fitted:
    """Coefficients, and the probabilities from which a phrase is heard and is offered back."""

    bias: float
    weights: dict[str, float]
    heard: float
    unsure: float


def fit(trials: Sequence[Trial], names: Sequence[str], gating: Sequence[Trial]) -> Fitted:
    """Logistic regression by Newton's method on evidence cut to its limits. gating: trials that set `heard`."""
    right = np.array([trial.right for trial in trials], dtype=np.float64)
    beta = _logistic(_rows(trials, names), right)
    heard = np.quantile(_sigmoid(_rows([trial for trial in gating if trial.right], names) @ beta), REFUSED)
    unsure = np.quantile(_sigmoid(_rows([trial for trial in trials if trial.right], names) @ beta), LOST)
    weights = {name: round(float(weight), 4) for name, weight in zip(names, beta[1:], strict=True)}
    return Fitted(
        round(float(beta[0]), 4),
        weights,
        round(max(float(heard), LEAST_SURE), 3),
        round(float(min(unsure, heard / 2)), 4),
    )


def _rows(trials: Sequence[Trial], names: Sequence[str]) -> NDArray[np.float64]:
    return np.array([[1.0, *(limited(name, trial.evidence.get(name, 0.0)) for name in names)] for trial in trials])


def _sigmoid(sums: NDArray[np.float64]) -> NDArray[np.float64]:
    return 1 / (1 + np.exp(-np.clip(sums, -50, 50)))


def _logistic(rows: NDArray[np.float64], right: NDArray[np.float64], steps: int = 50) -> NDArray[np.float64]:
    beta = np.zeros(rows.shape[1])
    ridge = RIDGE * np.eye(rows.shape[1])
    ridge[0, 0] = 0.0
    for _ in range(steps):
        probable = _sigmoid(rows @ beta)
        curve = rows.T @ (rows * (probable * (1 - probable) + 1e-9)[:, None]) + ridge
        beta = beta + np.linalg.solve(curve, rows.T @ (right - probable) - ridge @ beta)
    return beta
