"""What somebody unknown gets: one polite line an hour, and no endless tries at a code."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

POLITE = (
    "This is doorround, for people who check fire doors here. If that is you, ask your supervisor"
    " for an invite."
)
UNKNOWN_CODE = (
    "That code is not known here. Look at it again, or ask your supervisor for a new one."
)
SLOWED = "Too many codes that were not right. Wait a while before the next one."
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


def knock(knocks: Knocks, now: datetime) -> tuple[Knocks, str | None]:
    """A message from somebody unknown: what to remember, and what to say, if anything."""
    if knocks.told is not None and now - knocks.told < TOLD_EVERY:
        return knocks, None
    return replace(knocks, told=now), POLITE


def may_try(knocks: Knocks, now: datetime) -> bool:
    """Whether a code is looked at now.

    After five wrong ones: a minute's wait, doubled each time, up to an hour.
    """
    knocks = _remembered(knocks, now)
    if knocks.tries < FREE_TRIES or knocks.tried is None:
        return True
    doubled: int = 2 ** min(knocks.tries - FREE_TRIES, 10)
    return now - knocks.tried >= min(FIRST_WAIT * doubled, MAX_WAIT)


def wrong_code(knocks: Knocks, now: datetime, why: str = UNKNOWN_CODE) -> tuple[Knocks, str]:
    """A wrong or spent code was looked at: what to remember, and the one line to say."""
    tries = _remembered(knocks, now).tries + 1
    return replace(knocks, tries=tries, tried=now), SLOWED if tries >= FREE_TRIES else why


def _remembered(knocks: Knocks, now: datetime) -> Knocks:
    if knocks.tried is not None and now - knocks.tried >= FORGOTTEN_AFTER:
        return replace(knocks, tries=0, tried=None)
    return knocks
