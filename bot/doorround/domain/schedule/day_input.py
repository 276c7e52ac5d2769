"""Parses a date typed by a person."""

from __future__ import annotations

from datetime import date

FIRST = date(2000, 1, 1)
LAST = date(2199, 12, 31)
"""No logbook has days outside this range; within it, date arithmetic cannot overflow."""


def read_day(text: str) -> date:
    """Parse a date such as 2026-03-02. Raises ValueError saying what to write."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        raise ValueError(f'"{text[:40]}" is not a date. Write it as 2026-03-02.') from None
    if not FIRST <= day <= LAST:
        raise ValueError(f"{text} is out of range. Write a day from {FIRST} to {LAST}.")
    return day
