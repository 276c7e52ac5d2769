"""How often: "2 weeks", "monthly", or a rule of RFC 5545 such as "FREQ=MONTHLY;BYDAY=1MO". Pure."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from dateutil.relativedelta import relativedelta
from dateutil.rrule import rrulestr

_WORDS = {
    "daily": (1, "day"),
    "weekly": (1, "week"),
    "fortnightly": (2, "week"),
    "monthly": (1, "month"),
    "quarterly": (3, "month"),
    "yearly": (1, "year"),
    "annually": (1, "year"),
}
_MAX_COUNT = {"day": 3660, "week": 520, "month": 120, "year": 10}
_COARSE = ("DAILY", "WEEKLY", "MONTHLY", "YEARLY")
_DAYS_OF = {"day": 1.0, "week": 7.0, "month": 365.25 / 12, "year": 365.25}


@dataclass(frozen=True)
class Recurrence:
    """So many units after the last check; or the first day after it in an RRULE.

    A month after the 31st is the last day of a shorter month.
    """

    count: int = 0
    unit: str = ""
    rule: str = ""

    def after(self, last: date) -> date:
        """Due date of the next check.

        Raises ValueError for a rule with no further dates.
        """
        match self.unit:
            case "day":
                return last + timedelta(days=self.count)
            case "week":
                return last + timedelta(weeks=self.count)
            case "month":
                return last + relativedelta(months=self.count)
            case "year":
                return last + relativedelta(years=self.count)
        begin = datetime.combine(last, time())
        found = rrulestr(self.rule, dtstart=begin).after(begin)
        if found is None:
            raise ValueError(f'"{self.rule}" names no day after {last.isoformat()}')
        return found.date()

    @property
    def days(self) -> float:
        """Approximate number of days between two checks."""
        if self.unit:
            return self.count * _DAYS_OF[self.unit]
        first = self.after(date(2026, 1, 1))
        days = 0
        last = first
        for _ in range(8):
            last = self.after(last)
            days = (last - first).days
        return days / 8

    @property
    def written(self) -> str:
        """In the notation of read_recurrence."""
        return self.rule or f"{self.count} {self.unit}s"

    def __str__(self) -> str:
        if self.rule:
            return f"by the rule {self.rule}"
        return f"every {self.unit}" if self.count == 1 else f"every {self.count} {self.unit}s"


def read_recurrence(text: str) -> Recurrence:
    """Parse an interval. Raises ValueError saying what to write."""
    words = text.strip()
    if "=" in words:
        return _read_rule(words)
    if words.lower() in _WORDS:
        count, unit = _WORDS[words.lower()]
        return Recurrence(count, unit)
    found = re.fullmatch(r"(?:every\s+)?(?:(\d{1,4})\s+)?(day|week|month|year)s?", words.lower())
    count = int(found[1] or 1) if found else 0
    if not found or not 1 <= count <= _MAX_COUNT[found[2]]:
        raise ValueError(
            f'"{text}" is not an interval. Write "2 weeks", "monthly", or a rule such as'
            " FREQ=WEEKLY;BYDAY=MO."
        )
    return Recurrence(count, found[2])


def _read_rule(text: str) -> Recurrence:
    rule = text.upper().removeprefix("RRULE:")
    parts = dict(part.partition("=")[::2] for part in rule.split(";"))
    if parts.get("FREQ") not in _COARSE:
        raise ValueError(f'"{text}": FREQ must be one of {", ".join(_COARSE)}.')
    if parts.keys() & {"COUNT", "UNTIL"}:
        raise ValueError(
            f'"{text}": doors are checked for as long as they stand. Leave COUNT and UNTIL out.'
        )
    try:
        every = Recurrence(rule=rule)
        far = every.after(date(2025, 2, 27))
    except (ValueError, TypeError, AttributeError, KeyError) as error:
        raise ValueError(f'"{text}" is not a rule of RFC 5545: {error}.') from error
    if far - date(2025, 2, 27) > timedelta(days=3660):
        raise ValueError(f'"{text}" leaves a door unchecked for more than ten years.')
    return every
