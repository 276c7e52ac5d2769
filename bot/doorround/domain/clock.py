"""Whether the time of an entry can be right: held against the last one and the computer's clock
when it came. Pure.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

SLACK = timedelta(minutes=5)
"""Two clocks that are both right may differ by so much. Common practice, no source."""
MAX_SILENCE = timedelta(days=100)
"""Nothing was entered for longer than a quarter, which is long between two rounds.

Common practice, no source.
"""
OLDEST = timedelta(days=7)
"""A message may have waited so long: a messenger keeps it for a day, this program until it is dealt
with.
"""


@dataclass(frozen=True)
class DoubtedTime:
    """A time that may be wrong. seq: of the entry that says so. anchor: the last time that was not
    in doubt.
    """

    seq: int
    why: str
    at: datetime
    anchor: datetime


def why_doubted(
    first: datetime, last: datetime, wall: datetime, anchor: datetime | None
) -> str | None:
    """Why times cannot be trusted; None where they can. first, last: of what is to be entered.
    wall: the computer's clock now. anchor: of the last entry that was not in doubt, None for none.
    """
    if anchor is not None and wall < anchor - SLACK:
        return "the clock runs behind the last entry"
    if anchor is not None and wall > anchor + MAX_SILENCE:
        return "the clock is far ahead of the last entry"
    if last > wall + SLACK:
        return "the message is of a time that the clock has not reached"
    if first < wall - OLDEST:
        return "the clock is far ahead of the message"
    return None
