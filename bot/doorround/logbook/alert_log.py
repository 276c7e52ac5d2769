"""Dangers in the logbook: found since, sent to whom, withdrawn."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from doorround.domain.alerts import Reach
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Role
from doorround.domain.schedule.due import DoorId
from doorround.logbook.chats import Chats
from doorround.logbook.local_days import LocalDays, midnight_after
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.people import People
from doorround.logbook.reminder_log import chats_by_person, was_said
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

ALERT = "alarm"
TAKEN_BACK = "alarm taken back"
REPORTED = "reported danger"


@dataclass(frozen=True)
class FoundDanger:
    """An act-now finding as entered. seq: of its entry. at: UTC."""

    seq: int
    at: datetime
    door: DoorId
    rule: str
    check: str


def found_since(logbook: Logbook, seq: int) -> list[FoundDanger]:
    """Every act-now finding entered after that entry, whether or not it still stands."""
    rows = logbook._rows(
        """SELECT f.seq, f.at, json_extract(f.body, '$.rule'), f.check_id, s.site, s.building,
        s.door
        FROM entries AS f JOIN entries AS s ON s.check_id = f.check_id AND s.kind = 'check started'
        WHERE f.kind = 'found' AND f.seq > ? AND json_extract(f.body, '$.severity') = 'act now'
            AND NOT json_extract(f.body, '$.made_good') ORDER BY f.seq""",
        seq,
    )
    return [
        FoundDanger(seq, datetime.fromisoformat(at), (site, building, number), rule, check)
        for seq, at, rule, check, site, building, number in rows
    ]


def talks_with_reports(logbook: Logbook, since: datetime, until: datetime) -> list[str]:
    """Talks with an open check and a reported but unconfirmed fault that last moved between these
    times.
    """
    rows = logbook._rows(
        """SELECT talk FROM talks WHERE updated BETWEEN ? AND ?
        AND json_array_length(position, '$.reported') > 0
        AND json_extract(position, '$.stage') NOT IN ('signed', 'cancelled') ORDER BY talk""",
        stamp(since),
        stamp(until),
    )
    return [talk for (talk,) in rows]


MAY_WAIT = """(json_extract(position, '$.stage') = 'confirming'
    OR json_extract(position, '$.stage') IN ('asking', 'paused')
        AND coalesce(json_array_length(position, '$.unread'), 0) > 0)"""
"""State of a talk that may contain a report with neither a yes nor a no."""


def talks_left_waiting(logbook: Logbook, until: datetime) -> list[tuple[str, datetime]]:
    """Talks with an open read-back, or with words not understood, that last moved by that time, and
    when.
    """
    rows = logbook._rows(
        f"SELECT talk, updated FROM talks WHERE updated <= ? AND {MAY_WAIT} ORDER BY talk",
        stamp(until),
    )
    return [(talk, datetime.fromisoformat(moved)) for talk, moved in rows]


def reported_at(logbook: Logbook, check: str, question: str) -> datetime | None:
    """When a fault was last reported at a question of a check, by the time it was sent."""
    rows = logbook._rows(
        """SELECT max(coalesce(json_extract(body, '$.said_at'), at)) FROM entries
        WHERE kind = 'reported' AND check_id = ?
        AND json_extract(body, '$.question') = ?""",
        check,
        question,
    )
    return next((datetime.fromisoformat(at) for (at,) in rows if at), None)


def supervisors_of(logbook: Logbook, site: str, but: str) -> dict[str, str]:
    """Supervisors of a site who can be written to, with their chats; days off are ignored, since
    dangers do not wait. but: the person who found it, and so knows.
    """
    chats = chats_by_person(logbook)
    return {
        each.name: chats[each.name]
        for each in logbook.people()
        if not each.gone
        and each.role == Role.SUPERVISOR
        and each.knows(site)
        and each.name in chats
        and each.name != but
    }


GROUP = "the group "
"""Prefix of a group's address, where an entry names the recipient."""


def chats_to_tell(logbook: Logbook, site: str, but: str, groups: bool) -> dict[str, str]:
    """Recipients of a danger alert on a site, with their chats: its supervisors, and the groups
    bound to it if enabled.
    """
    found = supervisors_of(logbook, site, but)
    bound = People(logbook).groups() if groups else {}
    return {**found, **{f"{GROUP}{chat}": chat for chat, of in bound.items() if of == site}}


def reach_of(logbook: Logbook, site: str, but: str, at_once: bool, known: frozenset[str]) -> Reach:
    """Recipients of a danger alert on a site."""
    return Reach(tuple(sorted(supervisors_of(logbook, site, but))), at_once, known)


@dataclass(frozen=True)
class Alert:
    """One alert that was sent. round: number of the defect's reopenings and retractions, so that a
    recurring danger is sent again. words: what was wrong.
    """

    key: str
    name: str
    door: DoorId
    rule: str
    round: str
    check: str
    words: str
    what: str = ALERT


def alerts_at(logbook: Logbook, door: DoorId) -> list[Alert]:
    """Every alert about a door, and retractions of them, in order."""
    begin = "/".join(("alarm", *door, ""))
    rows = logbook._rows(
        """SELECT body FROM entries WHERE kind = 'reminded' AND json_extract(body, '$.key') >= ?1
        AND json_extract(body, '$.key') < ?1 || char(1114111) ORDER BY seq""",
        begin,
    )
    bodies = [json.loads(text) for (text,) in rows]
    return [
        Alert(
            body["key"],
            body["name"],
            door,
            *(body[part] for part in ("rule", "round", "check", "words", "what")),
        )
        for body in bodies
        if body.get("at") == list(door)
    ]


def alerted_on(logbook: Logbook, day: date) -> set[tuple[DoorId, str]]:
    """Doors and rules with an alert sent on a local day; not those for unconfirmed reports."""
    rows = logbook._rows(
        """SELECT at, body FROM entries WHERE kind = 'reminded'
        AND json_extract(body, '$.key') >= 'alarm/'
        AND json_extract(body, '$.key') < 'alarm0' AND at >= ?""",
        stamp(midnight_after(day - timedelta(days=1), logbook.zone)),
    )
    local = LocalDays(logbook.zone)
    bodies = [json.loads(text) for at, text in rows if local.of(at) == day]
    return {
        ((site, building, number), body["rule"])
        for body in bodies
        if body["what"] != REPORTED
        for site, building, number in [body["at"]]
    }


def put_alert(logbook: Logbook, alert: Alert, chat: str, body: Outgoing, now: datetime) -> bool:
    """Put an alert into the outbox and log it, in one transaction.

    False if it was sent before.
    """
    with logbook.writing():
        if was_said(logbook, alert.key):
            return False
        Outbox(logbook).put(chat, alert.key, Chats(logbook).turn(chat), body, now)
        entered = {
            "key": alert.key,
            "name": alert.name,
            "what": alert.what,
            "said": [],
            "at": list(alert.door),
            "rule": alert.rule,
            "round": alert.round,
            "check": alert.check,
            "words": alert.words,
        }
        logbook._enter([Entry(kind=EntryKind.REMINDED, at=now, person="doorround", body=entered)])
        return True


def put_photo(
    logbook: Logbook, alert: Alert, sha256: str, chat: str, body: Outgoing, now: datetime
) -> bool:
    """Put a photo of a reported danger into the outbox, once. False if it was sent before."""
    key = f"{alert.key}/photo/{sha256}"
    return Outbox(logbook).put(chat, key, Chats(logbook).turn(chat), body, now)
