"""Dangers as the logbook has them: found since, told to whom, taken back."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from bot.domain.alarms import Reach
from bot.domain.entries import Entry, EntryKind
from bot.domain.people import Role
from bot.domain.schedule.due import DoorId
from bot.logbook.chats import Chats
from bot.logbook.due import LocalDays, midnight_after
from bot.logbook.outbox import Outbox
from bot.logbook.reminded import chats_by_person, was_said
from bot.logbook.store import Logbook
from bot.logbook.turns import stamp

ALARM, TAKEN_BACK, REPORTED = "alarm", "alarm taken back", "reported danger"


@dataclass(frozen=True)
class Found:
    """A finding to be acted on now, as it was entered. seq: of its entry. at: UTC."""

    seq: int
    at: datetime
    door: DoorId
    rule: str
    check: str


def found_since(book: Logbook, seq: int) -> list[Found]:
    """Every finding to be acted on now that was entered after that entry, whether it still stands or not."""
    rows = book._rows(
        """SELECT f.seq, f.at, json_extract(f.body, '$.rule'), f.check_id, s.site, s.building, s.door
        FROM entries AS f JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
        WHERE f.kind = 'found' AND f.seq > ? AND json_extract(f.body, '$.severity') = 'act now'
            AND NOT json_extract(f.body, '$.made_good') ORDER BY f.seq""",
        seq,
    )
    return [
        Found(seq, datetime.fromisoformat(at), (site, building, number), rule, check)
        for seq, at, rule, check, site, building, number in rows
    ]


def talks_with_reports(book: Logbook, since: datetime, until: datetime) -> list[str]:
    """Talks whose check is open, has something reported and not confirmed, last moved between these times."""
    rows = book._rows(
        """SELECT talk FROM talks WHERE updated BETWEEN ? AND ? AND json_array_length(position, '$.reported') > 0
        AND json_extract(position, '$.stage') NOT IN ('signed', 'cancelled') ORDER BY talk""",
        stamp(since), stamp(until),
    )  # fmt: skip
    return [talk for (talk,) in rows]


def reported_at(book: Logbook, check: str, question: str) -> datetime | None:
    """When something was last reported of a question of a check, by the time at which it was sent."""
    rows = book._rows(
        """SELECT max(at) FROM entries WHERE kind = 'reported' AND check_id = ?
        AND json_extract(body, '$.question') = ?""",
        check, question,
    )  # fmt: skip
    return next((datetime.fromisoformat(at) for (at,) in rows if at), None)


def supervisors_of(book: Logbook, site: str, but: str) -> dict[str, str]:
    """Supervisors of a site who can be written to, with their chats; days off do not count, a danger has none.

    but: who found it, and knows.
    """
    chats = chats_by_person(book)
    return {
        each.name: chats[each.name]
        for each in book.people()
        if not each.gone and each.role == Role.SUPERVISOR and each.knows(site) and each.name in chats
        and each.name != but
    }  # fmt: skip


def reach_of(book: Logbook, site: str, but: str, at_once: bool, known: frozenset[str]) -> Reach:
    """Who is told of a danger on a site."""
    return Reach(tuple(sorted(supervisors_of(book, site, but))), at_once, known)


@dataclass(frozen=True)
class Alarm:
    """One alarm that went out. round: of the defect's openings and of what was taken back, so that a danger that comes
    again is told again. words: what was wrong."""

    key: str
    name: str
    door: DoorId
    rule: str
    round: str
    check: str
    words: str
    what: str = ALARM


def alarms_at(book: Logbook, door: DoorId) -> list[Alarm]:
    """Every alarm of a door, and what was taken back of them, in order."""
    begin = "/".join(("alarm", *door, ""))
    rows = book._rows(
        """SELECT body FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') >= ?1
        AND json_extract(body, '$.key') < ?1 || char(1114111) ORDER BY seq""",
        begin,
    )
    bodies = [json.loads(text) for (text,) in rows]
    return [
        Alarm(body["key"], body["name"], door, *(body[part] for part in ("rule", "round", "check", "words", "what")))
        for body in bodies
        if body.get("at") == list(door)
    ]


def alarmed_on(book: Logbook, day: date) -> set[tuple[DoorId, str]]:
    """Doors and rules of which an alarm went out on a local day; one of what is not confirmed is none."""
    rows = book._rows(
        """SELECT at, body FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') >= 'alarm/'
        AND json_extract(body, '$.key') < 'alarm0' AND at >= ?""",
        stamp(midnight_after(day - timedelta(days=1), book.zone)),
    )
    local = LocalDays(book.zone)
    bodies = [json.loads(text) for at, text in rows if local.of(at) == day]
    return {((site, building, number), body["rule"]) for body in bodies if body["what"] != REPORTED
            for site, building, number in [body["at"]]}  # fmt: skip


def put_alarm(book: Logbook, alarm: Alarm, chat: str, body: Mapping[str, object], now: datetime) -> bool:
    """Put an alarm into the outbox and enter it, in one transaction. False where that one went out before."""
    with book.writing():
        if was_said(book, alarm.key):
            return False
        Outbox(book).put(chat, alarm.key, Chats(book).turn(chat), dict(body), now)
        entered = {"key": alarm.key, "name": alarm.name, "what": alarm.what, "said": [], "at": list(alarm.door),
                   "rule": alarm.rule, "round": alarm.round, "check": alarm.check, "words": alarm.words}  # fmt: skip
        book._enter([Entry(kind=EntryKind.REMINDED, at=now, person="doorround", body=entered)])
        return True
