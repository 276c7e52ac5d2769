"""Times in doubt: recorded automatically, reported, and resolved by a correct clock or a
supervisor's confirmation.
"""

from __future__ import annotations

import json
from bisect import bisect_right
from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from doorround.domain.clock import SLACK, DoubtedTime, why_doubted
from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.connection import Connection
from doorround.logbook.turn_events import stamp

_LAST = 50
"""How many entries to search for the last time: some are messages that came late."""
_CLOCK = (
    "SELECT seq, at, kind, body FROM entries WHERE kind IN ('clock doubted', 'clock trusted') ORDER"
    " BY seq"
)


def doubt_now(logbook: Connection) -> DoubtedTime | None:
    """Why the clock is in doubt; None if it is not."""
    for seq, at, kind, text in logbook._rows(f"{_CLOCK} DESC LIMIT 1"):
        if kind == EntryKind.CLOCK_DOUBTED:
            body = json.loads(text)
            return DoubtedTime(
                seq, body["why"], datetime.fromisoformat(at), datetime.fromisoformat(body["anchor"])
            )
    return None


def looked_at_clock(logbook: Connection, entries: Sequence[Entry], wall: datetime) -> list[Entry]:
    """Entry to put before others: their time is in doubt, or no longer is. wall: the clock now."""
    if not entries:
        return []
    doubt = doubt_now(logbook)
    anchor = doubt.anchor if doubt else _last_time(logbook)
    times = [entry.at for entry in entries]
    why = why_doubted(min(times), max(times), wall, anchor)
    if why and not doubt:
        body = {"why": why, "anchor": stamp(anchor or wall), "wall": stamp(wall)}
        return [Entry(kind=EntryKind.CLOCK_DOUBTED, at=wall, person="doorround", body=body)]
    if doubt and not why:
        over = {"of": doubt.seq, "right": False}
        return [Entry(kind=EntryKind.CLOCK_TRUSTED, at=wall, person="doorround", body=over)]
    return [] if doubt else _came_late(logbook, min(times), anchor, wall)


def _came_late(
    logbook: Connection, first: datetime, anchor: datetime | None, wall: datetime
) -> list[Entry]:
    """Entry saying that the next ones are of an earlier day than the one on which they arrived,
    unless another entry of this day already says so.
    """
    zone = ZoneInfo(logbook.zone)
    day = wall.astimezone(zone).date()
    latest = first if anchor is None else max(first, anchor)
    if latest.astimezone(zone).date() >= day:
        return []
    body = {"of": stamp(first)}
    return [Entry(kind=EntryKind.CAME_LATE, at=wall, person="doorround", body=body)]


def called_right(doubt: DoubtedTime, person: str, wall: datetime) -> Entry:
    """Entry of somebody's confirmation that the clock is now right: checks signed since then count,
    and checks signed while it was ahead no longer do.
    """
    body = {"of": doubt.seq, "right": True, "until": stamp(wall + SLACK)}
    return Entry(kind=EntryKind.CLOCK_TRUSTED, at=wall, person=person, body=body)


def _last_time(logbook: Connection) -> datetime | None:
    sql = f"""SELECT max(at) FROM (
        SELECT at FROM entries
        WHERE seq >= coalesce((SELECT max(seq) FROM entries WHERE kind
        IN ('clock doubted', 'clock trusted')), 0)
        ORDER BY seq DESC LIMIT {_LAST})"""
    [(at,)] = logbook._rows(sql)
    return datetime.fromisoformat(at) if at else None


class Doubted:
    """Ranges of entries written while the clock was ahead, for deriving days from times."""

    def __init__(self, logbook: Connection) -> None:
        self._begins: list[int] = []
        self._stretches: list[tuple[int, str]] = []
        rows = [(seq, kind, json.loads(text)) for seq, _, kind, text in logbook._rows(_CLOCK)]
        right = {
            body["of"]
            for _, kind, body in rows
            if kind == EntryKind.CLOCK_TRUSTED and body["right"]
        }
        for place, (seq, kind, body) in enumerate(rows):
            if kind == EntryKind.CLOCK_DOUBTED and seq not in right:
                end = rows[place + 1][0] if place + 1 < len(rows) else 1 << 62
                self._begins.append(seq)
                self._stretches.append((end, body["anchor"]))

    def time(self, seq: int, at: str) -> str:
        """Stored time of an entry; for one written while the clock was ahead, the last time before
        that.
        """
        place = bisect_right(self._begins, seq) - 1
        if place < 0 or seq >= self._stretches[place][0]:
            return at
        return min(at, self._stretches[place][1])
