"""Reads and writes nudges sent, days off, snoozes and handed rounds."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Right
from doorround.domain.schedule.nudges import Nudge, NudgeStep, SaidNudges
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.errors import LogbookError
from doorround.logbook.local_days import LocalDays, PlausibleDays, midnight_after
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.rota import rota_of
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

NUDGE = "nudge"
SUMMARY = "summary"


def said_so_far(logbook: Logbook, but: Collection[str] = ()) -> SaidNudges:
    """Every subject sent in nudges, with its local day. but: keys of messages that never
    arrived.
    """
    found: dict[tuple[tuple[str, ...], NudgeStep], date] = {}
    local = PlausibleDays(logbook)
    lost = {*_taken_back(logbook), *but}
    for seq, at, text in logbook._rows(
        "SELECT seq, at, body FROM entries WHERE kind = 'reminded' ORDER BY seq"
    ):
        body = json.loads(text)
        for *subject, step in body["said"] if body["key"] not in lost else ():
            found.setdefault((tuple(subject), NudgeStep(step)), local.of(seq, at))
    return found


def _taken_back(logbook: Logbook, prefix: str = "") -> set[str]:
    """Keys, with that prefix, of messages that never arrived and were superseded."""
    sql = """SELECT e.value FROM entries, json_each(body, '$.instead_of') AS e
        WHERE kind = 'reminded'
        AND json_extract(body, '$.key') >= ?1
        AND json_extract(body, '$.key') < ?1 || char(1114111)"""
    return {str(key) for (key,) in logbook._rows(sql, prefix)}


def unsent(logbook: Logbook, kind: str, today: date) -> dict[str, list[OutboundMessage]]:
    """Reminders of a kind from earlier days not known to have arrived, by chat: held, or without a
    network.
    """
    found: dict[str, list[OutboundMessage]] = {}
    for outbound in Outbox(logbook).deferrable():
        written = outbound.written.astimezone(ZoneInfo(logbook.zone)).date()
        if outbound.body.reminder == kind and written < today:
            found.setdefault(outbound.chat, []).append(outbound)
    return found


def was_said(logbook: Logbook, key: str) -> bool:
    """Whether a message with that key was sent."""
    return bool(
        logbook._rows(
            "SELECT 1 FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') = ?", key
        )
    )


@dataclass(frozen=True)
class LoggedReminder:
    """How far somebody has been informed. seq: of the last entry covered. at: when, or the start of
    the day from which they were not; None for not at all yet.
    """

    seq: int
    at: datetime | None = None


def last_said(logbook: Logbook, prefix: str, but: Collection[str] = ()) -> LoggedReminder | None:
    """How far the last delivered message with that key prefix covered; if none was delivered, where
    the first was to start. None if there is none. but: further keys that did not arrive.
    """
    sql = """SELECT seq, at, json_extract(body, '$.key'), json_extract(body, '$.since') FROM entries
        WHERE kind = 'reminded' AND json_extract(body, '$.key') >= ?1
            AND json_extract(body, '$.key') < ?1 || char(1114111) ORDER BY seq DESC"""
    lost = {*_taken_back(logbook, prefix), *but}
    first: LoggedReminder | None = None
    for seq, at, key, since in logbook._rows(sql, prefix):
        if key not in lost:
            return LoggedReminder(_before_reminders(logbook, seq), datetime.fromisoformat(at))
        if since is not None:
            first = LoggedReminder(
                since,
                midnight_after(LocalDays(logbook.zone).of(at) - timedelta(days=1), logbook.zone),
            )
    return first


def _before_reminders(logbook: Logbook, seq: int) -> int:
    """The last entry before that one that is not a reminder: reminders written together all cover
    the same.
    """
    sql = "SELECT seq FROM entries WHERE seq < ? AND kind <> 'reminded' ORDER BY seq DESC LIMIT 1"
    return next((before for (before,) in logbook._rows(sql, seq)), 0)


def known_since(logbook: Logbook, name: str, day: date) -> LoggedReminder:
    """Starting point for somebody never informed: when they took their current role, or the start
    of a local day, whichever is earlier.
    """
    midnight = stamp(midnight_after(day - timedelta(days=1), logbook.zone))
    [(first,)] = logbook._rows("SELECT min(seq) FROM entries WHERE at >= ?", midnight)
    known = [seq for (seq,) in logbook._rows("SELECT seq FROM people WHERE name = ?", name)]
    begin = min(each for each in (first, *known, logbook.last_seq() + 1) if each is not None)
    return LoggedReminder(int(begin) - 1)


def chats_by_person(logbook: Logbook) -> dict[str, str]:
    """The chat for each person who can be reached."""
    known = {person.name for person in logbook.people() if not person.gone}
    return {person: chat for chat, person in Chats(logbook).of_people() if person in known}


def say(
    logbook: Logbook,
    nudge: Nudge,
    chat: str,
    now: datetime,
    taps: Iterable[str] = (),
    instead: Iterable[OutboundMessage] = (),
) -> bool:
    """Put a nudge into the outbox and log it, in one transaction.

    False if it was sent before.
    """
    said = [[*point.subject, point.step.value] for point in nudge.points]
    body = Outgoing(nudge.text, tuple(taps))
    return say_once(logbook, nudge.key, nudge.to, NUDGE, chat, body, now, said, instead)


def say_once(
    logbook: Logbook,
    key: str,
    to: str,
    what: str,
    chat: str,
    body: Outgoing,
    now: datetime,
    said: list[list[str]] | None = None,
    instead: Iterable[OutboundMessage] = (),
    since: int | None = None,
) -> bool:
    """Put a message into the outbox and log it, once per key. what: NUDGE or SUMMARY. instead:
    undelivered messages of that kind that this one supersedes. since: number of the last entry that
    it does not cover.
    """
    with logbook.writing():
        if was_said(logbook, key):
            return False
        outbox = Outbox(logbook)
        before = list(instead)
        for outbound in before:
            outbox.drop(outbound.id, "another one stands for it")
        outbox.put(chat, key, Chats(logbook).turn(chat), replace(body, reminder=what), now)
        entered: dict[str, Any] = {"key": key, "name": to, "what": what, "said": said or []}
        if since is not None:
            entered["since"] = since
        if before:
            entered["instead_of"] = [outbound.key for outbound in before]
        logbook._enter([Entry(kind=EntryKind.REMINDED, at=now, person="doorround", body=entered)])
        return True


def take_back(logbook: Logbook, outbound: OutboundMessage, now: datetime) -> None:
    """Drop an undelivered reminder that nothing supersedes; its subjects count as unsent."""
    with logbook.writing():
        Outbox(logbook).drop(outbound.id, "not so any more")
        name = outbound.key.partition("/")[2].rpartition("/")[0]
        what = f"{outbound.body.reminder} taken back"
        body = {
            "key": f"{outbound.key}/back",
            "name": name,
            "what": what,
            "said": [],
            "instead_of": [outbound.key],
        }
        logbook._enter([Entry(kind=EntryKind.REMINDED, at=now, person="doorround", body=body)])


def snooze(
    logbook: Logbook, name: str, days: int, now: datetime, most: int = Plan().snooze_days
) -> date:
    """Snooze somebody's nudges for some days. Returns the day on which they resume.

    most: consecutive days. Raises LogbookError for more.
    """
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    since = _asleep_since(logbook, name, today)
    until, longest = today + timedelta(days=days), since + timedelta(days=most)
    if days < 1 or until > longest:
        left = max(0, (longest - today).days)
        more = f"You have {left} left" if left else "You have had them"
        raise LogbookError(
            f"At most {most} days in a row. {more}. If you are away, say “off until” and the day,"
            " or with your deputy: “off until 2026-03-12: Kim”."
        )
    body = {"since": since.isoformat(), "until": until.isoformat()}
    _enter(logbook, EntryKind.SNOOZED, name, name, body, now)
    return until


def _asleep_since(logbook: Logbook, name: str, today: date) -> date:
    """Since when somebody has been snoozed without a break; today if they are not."""
    sql = """SELECT json_extract(body, '$.since'), json_extract(body, '$.until') FROM entries
        WHERE kind = 'snoozed' AND json_extract(body, '$.name') = ? ORDER BY seq DESC LIMIT 1"""
    for since, until in logbook._rows(sql, name):
        if date.fromisoformat(until) >= today:
            return date.fromisoformat(since) if since else today
    return today


def take_days_off(
    logbook: Logbook,
    name: str,
    first: date,
    last: date,
    by: str,
    now: datetime,
    deputy: str | None = None,
) -> None:
    """Enter somebody's absence: their deputy does their work meanwhile, or the supervisor.

    Raises LogbookError for a deputy who may not check doors or is away on those days.
    """
    if last < first:
        raise LogbookError(
            f"{last.isoformat()} is before {first.isoformat()}. Give the last day away."
        )
    People(logbook).person(name)
    body = {"from": first.isoformat(), "until": last.isoformat()}
    if deputy is not None:
        _refuse_deputy(logbook, name, deputy, first, last)
        body["deputy"] = deputy
    _enter(logbook, EntryKind.DAYS_OFF, name, by, body, now)


def _refuse_deputy(logbook: Logbook, name: str, deputy: str, first: date, last: date) -> None:
    stands_in = People(logbook).person(deputy)
    if deputy == name or not stands_in.may(Right.CHECK):
        raise LogbookError(f"{deputy} cannot stand in for {name}: name somebody who checks doors.")
    for begin, end in rota_of(logbook).away.get(deputy, ()):
        if begin <= last and end >= first:
            raise LogbookError(
                f"{deputy} is away from {begin} to {end} too. Name somebody else, or nobody: the"
                " supervisor then has the work."
            )


def _enter(
    logbook: Logbook, kind: EntryKind, name: str, by: str, body: dict[str, str], now: datetime
) -> None:
    with logbook.writing():
        logbook._enter([Entry(kind=kind, at=now, person=by, body={"name": name, **body})])
