"""Limits for strangers: one polite line an hour, and back-off for guessing codes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import datetime, timedelta

ANSWER_EVERY = timedelta(hours=1)
FREE_TRIES = 5
FIRST_WAIT = timedelta(minutes=1)
MAX_WAIT = timedelta(hours=1)
FORGOTTEN_AFTER = timedelta(days=1)


@dataclass(frozen=True)
class StrangerAttempts:
    """A stranger's history. answered: when the polite line was last sent. tries: wrong codes.
    tried: the last.

    Times are UTC.
    """

    answered: datetime | None = None
    tries: int = 0
    tried: datetime | None = None


def polite_line_due(attempts: StrangerAttempts, now: datetime) -> tuple[StrangerAttempts, bool]:
    """A message from a stranger: the new state, and whether the polite line is due. now: UTC."""
    if attempts.answered is not None and now - attempts.answered < ANSWER_EVERY:
        return attempts, False
    return replace(attempts, answered=now), True


def may_try(attempts: StrangerAttempts, now: datetime) -> bool:
    """Whether a code may be tried now.

    After five wrong ones: a minute's wait, doubled each time, up to an hour.
    """
    attempts = _remembered(attempts, now)
    if attempts.tries < FREE_TRIES or attempts.tried is None:
        return True
    doubled: int = 2 ** min(attempts.tries - FREE_TRIES, 10)
    return now - attempts.tried >= min(FIRST_WAIT * doubled, MAX_WAIT)


def wrong_code(attempts: StrangerAttempts, now: datetime) -> tuple[StrangerAttempts, bool]:
    """A wrong or used code was tried: the new state, and whether the next one has to wait. now:
    UTC.
    """
    tries = _remembered(attempts, now).tries + 1
    return replace(attempts, tries=tries, tried=now), tries >= FREE_TRIES


def _remembered(attempts: StrangerAttempts, now: datetime) -> StrangerAttempts:
    if attempts.tried is not None and now - attempts.tried >= FORGOTTEN_AFTER:
        return replace(attempts, tries=0, tried=None)
    return attempts
