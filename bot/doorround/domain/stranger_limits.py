"""What somebody unknown gets: one polite line an hour, and no endless tries at a code."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

TOLD_EVERY = timedelta(hours=1)
FREE_TRIES = 5
FIRST_WAIT = timedelta(minutes=1)
MAX_WAIT = timedelta(hours=1)
FORGOTTEN_AFTER = timedelta(days=1)


@dataclass(frozen=True)
class Knocks:
    """What somebody unknown did so far. told: when the polite line was last said. tries: wrong
    codes. tried: the last.

    Times are UTC.
    """

    told: datetime | None = None
    tries: int = 0
    tried: datetime | None = None


def knock(knocks: Knocks, now: datetime) -> tuple[Knocks, bool]:
    """A message from somebody unknown: what to remember, and whether the polite line is due.
    now: UTC.
    """
    if knocks.told is not None and now - knocks.told < TOLD_EVERY:
        return knocks, False
    return replace(knocks, told=now), True


def may_try(knocks: Knocks, now: datetime) -> bool:
    """Whether a code is looked at now.

    After five wrong ones: a minute's wait, doubled each time, up to an hour.
    """
    knocks = _remembered(knocks, now)
    if knocks.tries < FREE_TRIES or knocks.tried is None:
        return True
    doubled: int = 2 ** min(knocks.tries - FREE_TRIES, 10)
    return now - knocks.tried >= min(FIRST_WAIT * doubled, MAX_WAIT)


def wrong_code(knocks: Knocks, now: datetime) -> tuple[Knocks, bool]:
    """A wrong or spent code was looked at: what to remember, and whether the next one has to wait.
    now: UTC.
    """
    tries = _remembered(knocks, now).tries + 1
    return replace(knocks, tries=tries, tried=now), tries >= FREE_TRIES


def _remembered(knocks: Knocks, now: datetime) -> Knocks:
    if knocks.tried is not None and now - knocks.tried >= FORGOTTEN_AFTER:
        return replace(knocks, tries=0, tried=None)
    return knocks
