"""The site's local days for stored times."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from doorround.logbook.clock import Doubted
from doorround.logbook.connection import Connection

_MINUTE = len("2026-01-01T00:00")


def midnight_after(day: date, zone: str) -> datetime:
    """The end of a local day, UTC. A day may have 23 or 25 hours."""
    return datetime.combine(day + timedelta(days=1), time(), ZoneInfo(zone)).astimezone(UTC)


class LocalDays:
    """Local days of stored times, cached by minute."""

    def __init__(self, zone: str) -> None:
        self._zone = ZoneInfo(zone)
        self._known = dict[str, date]()

    def __call__(self, stamped: str | None) -> date | None:
        """The local day of a stored time; None for None."""
        return None if stamped is None else self.of(stamped)

    def of(self, stamped: str) -> date:
        """The local day of a stored time."""
        minute = stamped[:_MINUTE]
        found = self._known.get(minute)
        if found is None:
            found = datetime.fromisoformat(f"{minute}:00+00:00").astimezone(self._zone).date()
            self._known[minute] = found
        return found


class PlausibleDays:
    """Local days of entries; for those written while the clock was ahead, the last day before."""

    def __init__(self, logbook: Connection) -> None:
        self._local = LocalDays(logbook.zone)
        self._doubted = Doubted(logbook)

    def of(self, seq: int, stamped: str) -> date:
        """The local day of an entry."""
        return self._local.of(self._doubted.time(seq, stamped))
