"""How often to check: from past checks, estimates the failure rate, how long doors stand
unprotected, and the check interval for a target availability. Pure.

A failure is hidden until a check finds it: it occurred at some time since the previous check. With
a constant rate r the probability of finding one after t days is 1 − exp(−r·t), and the door is
unprotected for 1 − (1 − exp(−r·t)) / (r·t) of the time.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from doorround.domain.schedule.recurrence import Recurrence

PRIOR_SHAPE = 0.5
"""Shape of the gamma prior, with no exposure time: Jeffreys' prior for a Poisson rate, which is
almost uninformative.
"""
MIN_FAILURES = 3
"""With fewer failures, or fewer days than MIN_DAYS, there is too little history for a suggestion.
Both are this program's choice, no source.
"""
MIN_DAYS = 365.0
LINEAR_FROM = 0.95
"""Availability above which the linear rule is close to the exact formula."""
_POINTS = 2001


@dataclass(frozen=True)
class CheckInterval:
    """The time between two checks of a door. failed: the second found a failure that the first had
    not.
    """

    days: float
    failed: bool


@dataclass(frozen=True)
class Rate:
    """Failures per door-day. low, high: bounds of the 90 % credible interval. failures, days: count
    and exposure time.
    """

    mean: float
    low: float
    high: float
    failures: int
    days: float

    @property
    def enough(self) -> bool:
        """Whether there is enough history for a suggestion."""
        return self.failures >= MIN_FAILURES and self.days >= MIN_DAYS


def failure_rate(gaps: Sequence[CheckInterval]) -> Rate | None:
    """Failure rate from gamma prior and history; None without exposure time.

    Posterior over a log-spaced grid of rates: an interval without failure contributes exp(−r·t),
    one with failure 1 − exp(−r·t). If failures are rare relative to the intervals, this is the
    gamma posterior of a Poisson count.
    """
    failed = [gap.days for gap in gaps if gap.failed and gap.days > 0]
    sound = sum(gap.days for gap in gaps if not gap.failed)
    days = sound + sum(failed)
    if days <= 0:
        return None
    lowest = math.log(1e-4 / days)
    highest = math.log(max(50.0, 20.0 * (len(failed) + 1)) / days)
    highest = max(highest, math.log(50.0 / min(failed)) if failed else highest)
    grid = [math.exp(lowest + (highest - lowest) * nth / (_POINTS - 1)) for nth in range(_POINTS)]
    counts: dict[float, int] = {}
    for gap in failed:
        counts[gap] = counts.get(gap, 0) + 1
    weights = [_log_weight(rate, sound, counts) for rate in grid]
    top = max(weights)
    mass = [math.exp(weight - top) for weight in weights]
    total = math.fsum(mass)
    mean = math.fsum(rate * part for rate, part in zip(grid, mass, strict=True)) / total
    return Rate(
        mean, _at(grid, mass, total * 0.05), _at(grid, mass, total * 0.95), len(failed), days
    )


def _log_weight(rate: float, sound: float, failed: dict[float, int]) -> float:
    """Log of prior times likelihood on a grid step: prior density times rate."""
    found = math.fsum(
        number * math.log(-math.expm1(-rate * days)) for days, number in failed.items()
    )
    return PRIOR_SHAPE * math.log(rate) - rate * sound + found


def _at(grid: Sequence[float], mass: Sequence[float], wanted: float) -> float:
    so_far = 0.0
    for rate, part in zip(grid, mass, strict=True):
        so_far += part
        if so_far >= wanted:
            return rate
    return grid[-1]


def unprotected_share(rate: float, days: float) -> float:
    """Mean fraction of time that a failure goes undetected when checking every so many days. 0 to
    1; exact.

    Source: 1 − (1 − e^(−λT)) / (λT), reliability-centred maintenance.
    """
    risk = rate * days
    # below this the exact formula loses precision; half the risk agrees to twelve digits
    return risk / 2 if risk < 1e-6 else 1 + math.expm1(-risk) / risk


def failure_finding_interval(mean_days: float, availability: float) -> float:
    """Days between checks for a target availability, 0 to 1, by the linear rule 2 × U × M.

    Source: failure-finding interval, reliability-centred maintenance, SAE JA1012; reasonable from
    LINEAR_FROM upwards.
    """
    return 2 * (1 - availability) * mean_days


def interval_for(rate: float, availability: float) -> float:
    """Days between checks for a target availability, by the exact formula.

    Raises ValueError outside 0 to 1.
    """
    if not 0 < availability < 1 or rate <= 0:
        raise ValueError("an availability lies between 0 and 1, and a rate above 0")
    short = 0.0
    long = 1 / rate
    while unprotected_share(rate, long) < 1 - availability:
        long *= 2
    for _ in range(80):
        middle = (short + long) / 2
        short, long = (
            (middle, long)
            if unprotected_share(rate, middle) < 1 - availability
            else (short, middle)
        )
    return short


@dataclass(frozen=True)
class Advice:
    """rate: None without history. now: fraction of time unprotected at the present interval.
    suggested: days; never more than the present interval, which law, guidance and the responsible
    person set. text: in words.
    """

    rate: Rate | None
    present: float
    now: float | None
    suggested: float | None
    text: str


def advise(gaps: Sequence[CheckInterval], present: Recurrence, availability: float) -> Advice:
    """What the history of a door, or of similar doors, implies for the check interval.

    Uses the upper bound of the rate's credible interval, so that sparse history leads to more
    checks, not fewer.
    """
    rate = failure_rate(gaps)
    days = present.days
    if rate is None or not rate.enough:
        found = f"{rate.failures} in {rate.days:.0f} door-days" if rate else "none yet"
        return Advice(
            rate, days, None, None, f"Too little history ({found}): the interval stays, {present}."
        )
    now = unprotected_share(rate.mean, days)
    wanted = interval_for(rate.high, availability)
    found = (
        f"{rate.failures} failures in {rate.days:.0f} door-days: one in {1 / rate.mean:.0f} days"
        f" (90 % credible: {1 / rate.high:.0f} to {1 / rate.low:.0f})."
        f" Checked {present}, {now:.1%} of the time unprotected. For {availability:.1%}"
    )
    if wanted >= days:
        return Advice(
            rate, days, now, days, f"{found} that is often enough; it is never made longer."
        )
    linear = failure_finding_interval(1 / rate.high, availability)
    rule = (
        f" The linear rule 2 × U × M gives {linear:.1f} days."
        if availability >= LINEAR_FROM
        else ""
    )
    return Advice(
        rate, days, now, wanted, f"{found} check every {max(1, math.floor(wanted))} days.{rule}"
    )
