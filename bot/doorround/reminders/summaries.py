"""Summaries due at a moment: daily and, on the last working day of a week or a month, for that
period.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

from doorround.domain.people import Person, Role
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Figures
from doorround.logbook.alert_log import GROUP
from doorround.logbook.outbox import OutboundMessage
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.reminder_log import (
    SUMMARY,
    LoggedReminder,
    chats_by_person,
    known_since,
    last_said,
    say_once,
    unsent,
    was_said,
)
from doorround.logbook.store import Logbook
from doorround.reminders.calendar import is_free
from doorround.reports.summary import Frequency, SummaryReport, first_day, report


def send_summaries(logbook: Logbook, plan: Plan, now: datetime) -> list[SummaryReport]:
    """Write the summaries that may be sent now into the outbox; each is entered. Returns those
    written.

    Each covers the entries since the previous one, whatever their time or date, so every entry is
    covered once.
    """
    local = now.astimezone(ZoneInfo(logbook.zone))
    if local.time() < plan.summary_at or plan.quiet(local.time()) or is_free(plan, local.date()):
        return []
    with logbook.writing():
        return _send(logbook, plan, local.date(), now)


def _send(logbook: Logbook, plan: Plan, day: date, now: datetime) -> list[SummaryReport]:
    written = list[SummaryReport]()
    known: dict[tuple[Frequency, tuple[str, ...], LoggedReminder], SummaryReport] = {}
    for person, chat in _readers(logbook, plan, now):
        for place, every in enumerate(kinds_of(plan, day)):
            key = key_of(every, person.name, day)
            if was_said(logbook, key):
                continue
            held = [] if place else _held(logbook, chat, day)
            since = _since(logbook, every, person, day, held)
            # identical for everybody with the same sites
            made = known.get((every, person.sites, since))
            if made is None:
                made = known[every, person.sites, since] = report(
                    logbook, plan, every, day, person, since
                )
            body = body_of(made, plan)
            if person.name.startswith(GROUP):
                body = replace(body, taps=())
            if say_once(
                logbook,
                key,
                person.name,
                SUMMARY,
                chat,
                body,
                now,
                instead=held,
                since=since.seq,
            ):
                written.append(made)
    return written


def _readers(logbook: Logbook, plan: Plan, now: datetime) -> list[tuple[Person, str]]:
    """Recipients of summaries, with their chats: supervisors, and the groups bound to a site if
    enabled.
    """
    chats = chats_by_person(logbook)
    found = [
        (each, chats[each.name])
        for each in logbook.people()
        if not each.gone and each.role == Role.SUPERVISOR and each.name in chats
    ]
    groups = People(logbook).groups() if plan.summary_to_group else {}
    for chat, site in groups.items():
        found.append((Person(f"{GROUP}{chat}", Role.SUPERVISOR, now, (site,)), chat))
    return found


def key_of(every: Frequency, name: str, day: date) -> str:
    """The idempotency key of a summary."""
    return f"summary/{every}/{name}/{day.isoformat()}"


def body_of(made: SummaryReport, plan: Plan) -> Outgoing:
    """A summary as a message: text, buttons, and the chart's figures unless nothing happened."""
    picture: Figures | None = None
    if plan.picture != "none" and not made.summary.silent:
        picture = {**made.figures, "dark": plan.picture == "dark"}
    return Outgoing(made.summary.whole_text, made.summary.taps, picture=picture)


def kinds_of(plan: Plan, day: date) -> list[Frequency]:
    """Summaries due at the end of a working day: a week's or a month's instead of the day's own."""
    kinds = []
    sunday = day + timedelta(days=6 - day.weekday())
    if _is_last(plan, day, sunday):
        kinds.append(Frequency.WEEK)
    month_end = (day.replace(day=1) + timedelta(days=32)).replace(day=1) - timedelta(days=1)
    if _is_last(plan, day, month_end):
        kinds.append(Frequency.MONTH)
    return kinds or [Frequency.DAY]


def _is_last(plan: Plan, day: date, end: date) -> bool:
    """Whether no working day is left after one, up to the end."""
    return all(is_free(plan, day + timedelta(days=nth)) for nth in range(1, (end - day).days + 1))


def _held(logbook: Logbook, chat: str, day: date) -> list[OutboundMessage]:
    """Undelivered daily summaries that the next one supersedes; a week's or a month's is
    sent late.
    """
    outbounds = unsent(logbook, SUMMARY, day).get(chat, [])
    return [
        outbound for outbound in outbounds if outbound.key.startswith(f"summary/{Frequency.DAY}/")
    ]


def _since(
    logbook: Logbook,
    every: Frequency,
    person: Person,
    day: date,
    held: Sequence[OutboundMessage],
) -> LoggedReminder:
    """End of the previous summary's coverage: of its own kind or, for a daily one, of any kind.
    held: those that did not arrive.
    """
    kinds = list(Frequency) if every is Frequency.DAY else [every]
    lost = [each.key for each in held]
    before = [last_said(logbook, f"summary/{kind}/{person.name}/", lost) for kind in kinds]
    known = [each for each in before if each is not None]
    if known:
        return max(known, key=lambda each: each.seq)
    return known_since(logbook, person.name, first_day(every, day))
