"""Parses dates in door schedules. Day before month, as in Britain, unless the column shows
otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum

from doorround.door_schedules.yes_no import WORDS

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_NUMBERS = re.compile(r"(\d{1,2})[./\- ](\d{1,2})[./\- ](\d{4}|\d{2})(?:[ T,].*)?")
_ISO = re.compile(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})(?:[ T].*)?|(\d{4})(\d{2})(\d{2})")
_WORDS = re.compile(
    r"(?:[A-Za-z]{3,9},?\s+)?(\d{1,2})(?:st|nd|rd|th)?[\s\-/.]*(?:of\s+)?"
    r"([A-Za-z]{3,9})\.?,?[\s\-/.']*(\d{4}|\d{2})(?:[ ,].*)?"
)
_MONTH_FIRST = re.compile(
    r"(?:[A-Za-z]{3,9},?\s+)?([A-Za-z]{3,9})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+"
    r"(\d{4}|\d{2})(?:[ ,].*)?"
)
_MONTH = re.compile(r"([A-Za-z]{3,9})\.?[\s\-/']*(\d{4})|(\d{1,2})[/\-.](\d{4})")
_WEEKDAY = re.compile(r"^(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*\.?,?\s+", re.I)
_SERIAL = re.compile(r"([3-6]\d{4})(?:\.\d+)?")
_EPOCH = date(1899, 12, 30)
"""Day 0 of spreadsheets, which count from 1900 including a non-existent 29 February."""
FIRST = date(2000, 1, 1)


class DateOrder(StrEnum):
    """Which of two numbers is the day."""

    DAY_FIRST = "day before month"
    MONTH_FIRST = "month before day"
    MIXED = "both orders in one column"


@dataclass(frozen=True)
class ReadDay:
    """day: None if the cell says that there is none. note: the assumption made."""

    day: date | None
    note: str = ""


def order_of(texts: Iterable[str]) -> tuple[DateOrder, bool]:
    """Order of day and month in a column, and whether the column itself shows it."""
    pairs = [found for text in texts if (found := _NUMBERS.fullmatch(text.strip()))]
    # invalid either way, such as 32/13: no evidence for the others
    day_first = any(12 < int(found[1]) <= 31 and int(found[2]) <= 12 for found in pairs)
    month_first = any(12 < int(found[2]) <= 31 and int(found[1]) <= 12 for found in pairs)
    if day_first and month_first:
        return DateOrder.MIXED, True
    return (DateOrder.MONTH_FIRST if month_first else DateOrder.DAY_FIRST), day_first or month_first


def read_day_cell(text: str, order: DateOrder, today: date) -> ReadDay:
    """Parse a cell's date. Raises ValueError saying why it is invalid or ambiguous."""
    text = _WEEKDAY.sub("", text.strip())
    if text.casefold() in WORDS["never"]:
        return ReadDay(None)
    found = _written(text, order)
    if found.day is None:
        raise ValueError("is not a date. Write it as 2026-05-11")
    if found.day > today:
        raise ValueError(f"is still to come: {found.day}")
    if found.day < FIRST:
        raise ValueError(f"is before {FIRST}. Is the year right?")
    return found


def _written(text: str, order: DateOrder) -> ReadDay:
    if iso := _ISO.fullmatch(text):
        year, month, day = iso.groups()[:3] if iso[1] else iso.groups()[3:]
        return ReadDay(_day(year, month, day))
    if numbers := _NUMBERS.fullmatch(text):
        return ReadDay(_of_numbers(numbers, order))
    if words := _WORDS.fullmatch(text):
        return ReadDay(_day(words[3], _month(words[2]), words[1]))
    if words := _MONTH_FIRST.fullmatch(text):
        return ReadDay(_day(words[3], _month(words[1]), words[2]))
    if month := _MONTH.fullmatch(text):
        month_name = _month(month[1]) if month[1] else month[3]
        first = _day(month[2] or month[4], month_name, "1")
        return ReadDay(first, "no day is given, so the first of the month is taken")
    if serial := _SERIAL.fullmatch(text):
        return ReadDay(_EPOCH + timedelta(days=int(serial[1])), "a spreadsheet's number of a day")
    return ReadDay(None)


def _of_numbers(found: re.Match[str], order: DateOrder) -> date | None:
    one, two = int(found[1]), int(found[2])
    if order is DateOrder.MIXED and one <= 12 and two <= 12 and one != two:
        raise ValueError(
            "may be two days: other cells of this column have the day first, and others the month."
            " Write it as 2026-05-11"
        )
    month_first = two > 12 or (order is DateOrder.MONTH_FIRST and one <= 12)
    day, month = (two, one) if month_first else (one, two)
    return _day(found[3], str(month), str(day))


def _month(name: str) -> str:
    start = name[:3].lower()
    return str(_MONTHS.index(start) + 1) if start in _MONTHS else "0"


def _day(year: str, month: str, day: str) -> date | None:
    full = int(year) + (2000 if len(year) <= 2 else 0)
    try:
        return date(full, int(month), int(day))
    except ValueError:
        return None
