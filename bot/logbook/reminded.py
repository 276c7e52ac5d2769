"""What was said to whom, days off, snoozes and handed rounds: out of the logbook, and into it."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from bot.domain.entries import Entry, EntryKind
from bot.domain.schedule.crew import Crew
from bot.domain.schedule.nudges import Nudge, Said, Step
from bot.logbook.chats import Chats
from bot.logbook.due import LocalDays
from bot.logbook.errors import LogbookError
from bot.logbook.outbox import Outbox
from bot.logbook.people import People
from bot.logbook.store import Logbook

LONGEST_SNOOZE = 7
"""Days. Longer than that, somebody else has to mind the doors: days off, or a hand-over."""


def said_so_far(book: Logbook) -> Said:
    """Everything that was ever said in nudges, with the local day."""
    found: dict[tuple[tuple[str, ...], Step], date] = {}
    local = LocalDays(book.zone)
    for at, text in book._rows("SELECT at, body FROM entries WHERE kind = 'reminded' ORDER BY seq"):
        for *subject, step in json.loads(text)["said"]:
            found.setdefault((tuple(subject), Step(step)), local.of(at))
    return found


def was_said(book: Logbook, key: str) -> bool:
    """Whether a message of that key went out."""
    return bool(book._rows("SELECT 1 FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') = ?", key))


def last_said(book: Logbook, prefix: str) -> date | None:
    """The local day on which a message whose key begins so went out last."""
    sql = """SELECT at FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') >= ?1
        AND json_extract(body, '$.key') < ?1 || char(1114111) ORDER BY seq DESC LIMIT 1"""
    return next((LocalDays(book.zone).of(at) for (at,) in book._rows(sql, prefix)), None)


def crew_of(book: Logbook, reached: frozenset[str] | None = None) -> Crew:
    """Everybody, with their days off, snoozes and handed rounds."""
    away: dict[str, list[tuple[date, date]]] = {}
    snoozed: dict[str, date] = {}
    handed: list[tuple[date, str, str]] = []
    local = LocalDays(book.zone)
    kinds = "'days off', 'snoozed', 'handed over'"
    for at, kind, text in book._rows(f"SELECT at, kind, body FROM entries WHERE kind IN ({kinds}) ORDER BY seq"):
        body = json.loads(text)
        if kind == EntryKind.DAYS_OFF:
            span = (date.fromisoformat(body["from"]), date.fromisoformat(body["until"]))
            away.setdefault(body["name"], []).append(span)
        elif kind == EntryKind.SNOOZED:
            snoozed[body["name"]] = date.fromisoformat(body["until"])
        else:
            handed.append((local.of(at), body["from"], body["to"]))
    spans = {name: tuple(days) for name, days in away.items()}
    return Crew(tuple(book.people()), spans, snoozed, tuple(handed), reached)


def chats_by_person(book: Logbook) -> dict[str, str]:
    """The chat in which each person who can be reached is written to."""
    known = {person.name for person in book.people() if not person.gone}
    return {person: chat for chat, person in Chats(book).of_people() if person in known}


def say(book: Logbook, nudge: Nudge, chat: str, now: datetime, taps: Iterable[str] = ()) -> bool:
    """Put a nudge into the outbox and enter that it was said, in one transaction. False where it was said before."""
    said = [[*point.subject, point.step.value] for point in nudge.points]
    return say_once(book, nudge.key, nudge.to, "nudge", chat, {"text": nudge.text, "taps": list(taps)}, now, said)


def say_once(
    book: Logbook, key: str, to: str, what: str, chat: str, body: Mapping[str, Any], now: datetime,
    said: list[list[str]] | None = None,
) -> bool:  # fmt: skip
    """Put a message into the outbox and enter it, once for each key. what: "nudge" or "summary"."""
    with book.writing():
        if was_said(book, key):
            return False
        Outbox(book).put(chat, key, Chats(book).turn(chat), dict(body), now)
        entered = {"key": key, "name": to, "what": what, "said": said or []}
        book._enter([Entry(kind=EntryKind.REMINDED, at=now, person="doorround", body=entered)])
        return True


def snooze(book: Logbook, name: str, days: int, now: datetime) -> date:
    """Leave somebody alone for some days. Returns the day on which nudges begin again."""
    if not 1 <= days <= LONGEST_SNOOZE:
        raise LogbookError(f"From 1 to {LONGEST_SNOOZE} days. For longer: days off, or hand the round over.")
    until = now.astimezone(ZoneInfo(book.zone)).date() + timedelta(days=days)
    _enter(book, EntryKind.SNOOZED, name, name, {"until": until.isoformat()}, now)
    return until


def take_days_off(book: Logbook, name: str, first: date, last: date, by: str, now: datetime) -> None:
    """Enter that somebody is away: others of the site, or the supervisor, are written to meanwhile."""
    if last < first:
        raise LogbookError(f"{last.isoformat()} lies before {first.isoformat()}.")
    People(book).person(name)
    _enter(book, EntryKind.DAYS_OFF, name, by, {"from": first.isoformat(), "until": last.isoformat()}, now)


def _enter(book: Logbook, kind: EntryKind, name: str, by: str, body: dict[str, str], now: datetime) -> None:
    with book.writing():
        book._enter([Entry(kind=kind, at=now, person=by, body={"name": name, **body})])
