"""Whether an entry's timestamp is plausible, given the previous entry and the computer's clock at
the time. Pure.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

SLACK = timedelta(minutes=5)
"""Two correct clocks may differ by this much. Common practice, no source."""
MAX_SILENCE = timedelta(days=100)
"""No entry for longer than a quarter: a long gap between two rounds.

Common practice, no source.
"""
OLDEST = timedelta(days=7)
"""How long a message may have waited: a messenger keeps it for a day, this program until processed.
"""


@dataclass(frozen=True)
class DoubtedTime:
    """A doubtful time. seq: of the entry that records it. anchor: the last time not in doubt."""

    seq: int
    why: str
    at: datetime
    anchor: datetime


def why_doubted(
    first: datetime, last: datetime, wall: datetime, anchor: datetime | None
) -> str | None:
    """Why times cannot be trusted; None if they can. first, last: times of the entries about to be
    written. wall: the computer's clock now. anchor: time of the last entry not in doubt, or None.
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
