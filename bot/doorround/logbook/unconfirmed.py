"""Faults reported with neither a yes nor a no, as known to the logbook."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from doorround.dialogue.left_waiting import leave_waiting, reports_waiting
from doorround.dialogue.unconfirmed_faults import includes
from doorround.domain.check import Report
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import Heard, Said
from doorround.domain.schedule.due import DoorId
from doorround.domain.summary import Unconfirmed
from doorround.domain.values import Command
from doorround.logbook.alert_log import MAY_WAIT
from doorround.logbook.open_checks import readable_check
from doorround.logbook.register_as_of import Names, retired_then
from doorround.logbook.store import Logbook
from doorround.messages.answers import said_words

_ENTRIES = """SELECT e.seq, e.kind, e.check_id, e.person, e.body, c.site, c.building, c.number
FROM entries AS e JOIN entries AS s ON s.check_id = e.check_id AND s.kind = 'check started'
    JOIN door_names AS n ON n.number = s.door AND n.site = s.site AND n.building = s.building
        AND n.since < s.seq AND (n.until IS NULL OR s.seq < n.until)
    JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
WHERE e.check_id IN (SELECT value FROM json_each(?)) AND e.seq <= ?
    AND e.kind IN ('reported', 'denied', 'answered', 'signed')
ORDER BY e.seq"""
_CHECKED_SINCE = """SELECT 1 FROM visits AS v JOIN entries AS e ON e.seq = v.seq
WHERE v.number = ? AND v.site = ? AND v.building = ?
    AND v.seq > ? AND v.seq <= ? AND v.check_id <> ?
    AND (v.seen AND coalesce(json_array_length(e.body, '$.not_checked'), 0) = 0 OR EXISTS (
        SELECT 1 FROM answers AS a WHERE a.check_id = v.check_id AND a.question = ?
            AND json_extract(a.body, '$.value.kind') NOT IN ('cannot_check', 'not_measured')
    ))"""
"""An incomplete check, or one that saw too little of the door to count, matters only if it looked
at the reported part.
"""


def unconfirmed(logbook: Logbook, until: int) -> list[Unconfirmed]:
    """Reports not confirmed, and not looked at by a later check, when the entry of that number was
    the last; oldest first. Includes a read-back in progress.
    """
    standing = _fold(logbook, until)
    if until == logbook.last_seq():
        standing += _read_back_now(logbook, until)
    retired = retired_then(logbook, until)
    names = Names(logbook, until)
    found = []
    for check, door, question, person, seq, words in standing:
        site, building, number = door
        given = (number, site, building, seq, until, check, question)
        if logbook._rows(_CHECKED_SINCE, *given):
            continue
        then = names.then(door)
        if then not in retired:
            found.append(Unconfirmed(then, person, words))
    return found


def enter_waiting(logbook: Logbook, talk: str, moved: datetime, now: datetime) -> None:
    """Enter a talk's read-back that nobody has answered since. moved: when it last went on."""
    with logbook.writing():
        check = readable_check(logbook, talk)
        if check and reports_waiting(check):
            logbook.keep(talk, None, leave_waiting(check, moved, now), moved)


_Standing = tuple[str, DoorId, str, str, int, str]
"""Check, door, question, reporter, entry number, words."""


def _fold(logbook: Logbook, until: int) -> list[_Standing]:
    sql = "SELECT DISTINCT check_id FROM entries WHERE kind = 'reported' AND seq <= ?"
    checks = [check for (check,) in logbook._rows(sql, until)]
    open_ones: dict[str, list[tuple[Report, _Standing]]] = {}
    for seq, kind, check, person, text, *door in logbook._rows(_ENTRIES, json.dumps(checks), until):
        body = json.loads(text)
        here = open_ones.setdefault(check, [])
        if kind == EntryKind.REPORTED:
            id = (door[0], door[1], door[2])
            words = body.get("words") or f"“{body['heard']}”"
            here.append((_report(body), (check, id, body["question"], person, seq, words)))
        else:
            here[:] = [each for each in here if _stands(each[0], kind, body)]
    return sorted((each for here in open_ones.values() for _, each in here), key=lambda e: e[4])


def _report(body: dict[str, Any]) -> Report:
    said = Said(question=body["question"], value=body["value"], phrase=body["heard"])
    return Report(heard=Heard(said=(said,), words=body["heard"]), entered=True)


def _stands(report: Report, kind: str, body: dict[str, Any]) -> bool:
    """Whether a report still stands after an entry of its check."""
    if kind == EntryKind.SIGNED:
        return report.question in body.get("reported", ())
    if body["question"] != report.question:
        return True
    value = Said(question=body["question"], value=body["value"], phrase="").value
    if kind == EntryKind.DENIED:
        return bool(value != report.said.value)
    return isinstance(value, Command) or not includes(value, report)


def _read_back_now(logbook: Logbook, until: int) -> list[_Standing]:
    talks = logbook._rows(f"SELECT talk FROM talks WHERE {MAY_WAIT} ORDER BY talk")
    found = []
    for (talk,) in talks:
        if check := readable_check(logbook, talk):
            door = logbook.door_of_check(check.id, check.door)
            for each in reports_waiting(check):
                words = said_words(each.said, check.checklist)
                id = (door.site, door.building, door.number)
                found.append((check.id, id, each.question, check.person, until, words))
    return found
