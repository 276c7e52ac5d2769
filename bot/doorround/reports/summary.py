"""The daily, weekly and monthly summary of one supervisor: days, trend steps, text."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from zoneinfo import ZoneInfo

from doorround.domain.people import Person
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Figures, figures_of
from doorround.logbook.period import read_period, with_unconfirmed
from doorround.logbook.reminder_log import LoggedReminder
from doorround.logbook.store import Logbook
from doorround.messages import summaries
from doorround.messages.summaries import Summary, summary_of

STEPS = 8
"""Steps of a trend: a week of days plus one, eight weeks, eight months."""


class Frequency(StrEnum):
    """How often a summary is sent, and so which days it covers."""

    DAY = "daily"
    WEEK = "weekly"
    MONTH = "monthly"


@dataclass(frozen=True)
class SummaryReport:
    """summary: the text. figures: see figures_of."""

    summary: Summary
    figures: Figures


def report(
    logbook: Logbook,
    plan: Plan,
    every: Frequency,
    day: date,
    person: Person | None,
    since: LoggedReminder | None = None,
) -> SummaryReport:
    """The summary of the period ending on a day. person: limits it to their sites; None for all.
    since: covers entries after that one, at whatever hour; None: the period's days, as they stood
    at the end of the last.
    """
    first, last, name = _days(every, day)
    if since is not None and since.at is not None:
        local = since.at.astimezone(ZoneInfo(logbook.zone))
        name = summaries.since(name, summaries.moment(local, day))
    knows = person.knows if person else lambda site: True
    long = every is not Frequency.DAY
    steps = _steps(every, last) if long else []
    seq = since.seq if since else None
    period = read_period(logbook, plan, name, first, last, knows, steps, seq, long)
    period = with_unconfirmed(logbook, period, knows)
    return SummaryReport(summary_of(period), figures_of(period))


def first_day(every: Frequency, day: date) -> date:
    """The first day of the period that a day belongs to."""
    return _days(every, day)[0]


def _days(every: Frequency, day: date) -> tuple[date, date, str]:
    """The period that a day belongs to, up to that day, and its name."""
    match every:
        case Frequency.DAY:
            return day, day, summaries.day_name(day)
        case Frequency.WEEK:
            return day - timedelta(days=day.weekday()), day, summaries.week_name(day)
        case Frequency.MONTH:
            return day.replace(day=1), day, summaries.month_name(day)


def _steps(every: Frequency, last: date) -> list[tuple[str, date, date]]:
    """Name, first and last day of each step, oldest first; the last one ends with the period."""
    steps: list[tuple[str, date, date]] = []
    for _ in range(STEPS):
        first, _, _ = _days(every, last)
        name = f"{last:%b}" if every is Frequency.MONTH else f"{first.day} {first:%b}"
        steps.append((name, first, last))
        last = first - timedelta(days=1)
    return steps[::-1]
