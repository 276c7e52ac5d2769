"""What the logbook knew at an instant: the entries written by then, whatever their timestamps.

An entry carries the time of the event, but the message may have waited for a network. Entries are
numbered as they are written, so an entry was written no earlier than the latest timestamp up to it.
If that is not enough, because nothing else was entered meanwhile, a "came late" entry precedes it
with the time of arrival.
"""

from __future__ import annotations

import json
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from doorround.domain.entries import EntryKind
from doorround.logbook.connection import Connection
from doorround.logbook.turn_events import stamp

_CLOCK = """SELECT seq, kind, body FROM entries
    WHERE kind IN ('clock doubted', 'clock trusted') ORDER BY seq"""


def as_of(logbook: Connection, day: date) -> int:
    """Number of the last entry written by the end of a local day; 0 if none."""
    midnight = datetime.combine(day + timedelta(days=1), time(), ZoneInfo(logbook.zone))
    return made_before(logbook, midnight.astimezone(UTC))


def made_before(logbook: Connection, instant: datetime) -> int:
    """Number of the last entry written before an instant, UTC; 0 if none. Timestamps from a clock
    that was ahead are ignored.
    """
    # the unary + stops SQLite scanning up from the first entry: few follow a late instant
    sql = "SELECT min(+seq) FROM entries WHERE at >= ?"
    given: list[int | str] = [stamp(instant)]
    for first, end, until in _in_doubt(logbook):
        sql += " AND NOT (seq >= ? AND seq < ? AND at > ?)"
        given += [first, end, until]
    [(first_after,)] = logbook._rows(sql, *given)
    return _last(logbook) if first_after is None else int(first_after) - 1


def corrections_of(logbook: Connection, after: int) -> list[tuple[datetime, str, str]]:
    """Corrections of the past entered after that entry: when, by whom, text."""
    rows = logbook._rows(
        """SELECT at, person FROM entries WHERE kind = 'clock trusted' AND seq > ?
        AND json_extract(body, '$.right') ORDER BY seq""",
        after,
    )
    return [(datetime.fromisoformat(at), person, "the clock was right") for at, person in rows]


def _in_doubt(logbook: Connection) -> list[tuple[int, int, str]]:
    """Ranges of entries whose timestamps do not show when they were written: first, one past the
    last, and the time beyond which this holds.
    """
    found: list[tuple[int, int, str]] = []
    rows = [(seq, kind, json.loads(text)) for seq, kind, text in logbook._rows(_CLOCK)]
    right = {
        body["of"] for _, kind, body in rows if kind == EntryKind.CLOCK_TRUSTED and body["right"]
    }
    for place, (seq, kind, body) in enumerate(rows):
        if kind == EntryKind.CLOCK_TRUSTED and body["right"]:
            found.append((0, seq, body["until"]))
        elif kind == EntryKind.CLOCK_DOUBTED and seq not in right:
            end = rows[place + 1][0] if place + 1 < len(rows) else 1 << 62
            found.append((seq, end, body["anchor"]))
    return found


def _last(logbook: Connection) -> int:
    return int(logbook._rows("SELECT coalesce(max(seq), 0) FROM entries")[0][0])
