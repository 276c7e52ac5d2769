"""Defects read out of the logbook, and what is done about them entered."""

from __future__ import annotations

import json
from collections import Counter, deque
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from doorround.domain.defect_ledger import DefectLedger
from doorround.domain.defects import (
    NOT_LOOKED_AT,
    Deed,
    DeedKind,
    Defect,
    Event,
    Gone,
    Looked,
    Sighting,
    State,
)
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Targets
from doorround.domain.people import Role
from doorround.domain.repairs import doer, refusal
from doorround.domain.schedule.due import DoorId
from doorround.logbook.due import PlausibleDays, midnight_after
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp
from doorround.messages import doors

_FOREVER = "9999"
_SIGHTING = """v.seq, v.at, v.number, v.site, v.building, v.person, v.finding, v.check_id,
    v.answer, v.signed,
    v.gone, v.gone_at, v.gone_by"""
_STILL_REPORTED = (
    "SELECT r.value FROM entries AS e, json_each(e.body, '$.reported') AS r WHERE e.seq = ?"
)
_DEEDS = {
    EntryKind.DEFECT_ASSIGNED: DeedKind.ASSIGNED,
    EntryKind.DEFECT_MADE_GOOD: DeedKind.MADE_GOOD,
    EntryKind.DEFECT_NOTED: DeedKind.NOTED,
    EntryKind.MEASURE_TAKEN: DeedKind.MEASURE,
    EntryKind.DEFECT_LOOKED_AT: DeedKind.LOOKED_AT,
    EntryKind.DEFECT_REOPENED: DeedKind.REOPENED,
}


@dataclass(frozen=True)
class Defects:
    """Every defect ever found, by number, and the doors that are out of action, with why. gone:
    what was found and taken back since, by the number that it had.
    """

    all: dict[int, Defect]
    out: dict[DoorId, str]
    gone: dict[int, Defect] = field(default_factory=dict)

    def called(self, id: int) -> Defect | None:
        """The defect of that number, also where it was taken back."""
        return self.all.get(id) or self.gone.get(id)

    @property
    def open(self) -> list[Defect]:
        """Those that are open, the oldest first."""
        return [each for each in self.all.values() if each.state is State.OPEN]

    @property
    def to_be_looked_at(self) -> list[str]:
        """Numbers of the doors that are out of action by what is said to be repaired."""
        waiting = {
            each.door for each in self.all.values() if each.out_of_action and not each.danger
        }
        return [number for _, _, number in sorted(waiting)]

    def at(self, door: DoorId) -> list[Defect]:
        """Those of one door that are not closed."""
        return [
            each
            for each in self.all.values()
            if each.door == door and each.state is not State.CLOSED
        ]


def read_defects(
    logbook: Logbook, targets: Targets, day: date | None = None, door: Door | None = None
) -> Defects:
    """Defects as they stand, or as they stood at the end of a local day. door: only of that one."""
    until = _FOREVER if day is None else stamp(midnight_after(day, logbook.zone))
    where = "v.at < ?"
    of = [until]
    if door is not None:
        where += " AND v.number = ? AND v.site = ? AND v.building = ?"
        of += [door.number, door.site, door.building]
    ledger = DefectLedger(targets)
    local = PlausibleDays(logbook)
    found: dict[int, set[str]] = {}
    beside: list[Event] = [*_deeds(logbook, until, local)]
    for row in logbook._rows(
        f"SELECT {_SIGHTING} FROM sightings AS v WHERE {where} ORDER BY v.seq", *of
    ):
        sighting = _sighting(row, local, until)
        signed = row[9]
        beside.append(sighting)
        if sighting.gone is None and signed is not None:
            found.setdefault(signed, set()).add(sighting.finding.rule)
    visits = f"""SELECT v.seq, v.at, v.number, v.site, v.building, v.person, v.check_id
        FROM visited AS v
        WHERE {where} AND v.check_id IS NOT NULL ORDER BY v.seq"""
    waiting = deque(sorted(beside, key=lambda each: each.seq))
    for row in logbook._rows(visits, *of):
        while waiting and waiting[0].seq < row[0]:
            ledger.take([waiting.popleft()])
        ledger.take(_of_visit(logbook, ledger, row, frozenset(found.get(row[0], ())), local))
    ledger.take(waiting)
    return Defects(
        ledger.defects, {**_put_out(logbook, until), **_out(ledger.defects)}, ledger.gone
    )


def _sighting(row: tuple[Any, ...], local: PlausibleDays, until: str) -> Sighting:
    seq, at, number, site, building, person, finding, check, answer, _, gone, gone_at, gone_by = row
    door = (site, building, number)
    found = Finding.model_validate_json(finding)
    back = None
    if gone is not None and gone_at < until:
        back = Gone(gone, datetime.fromisoformat(gone_at), local.of(gone, gone_at), gone_by)
    return Sighting(
        seq, datetime.fromisoformat(at), local.of(seq, at), door, person, found, check, answer, back
    )


def _of_visit(
    logbook: Logbook,
    ledger: DefectLedger,
    row: tuple[Any, ...],
    found: frozenset[str],
    local: PlausibleDays,
) -> list[Event]:
    """What one signed check says of defects.

    Its answers are read only where they could say something.
    """
    seq, at, number, site, building, person, check = row
    door = (site, building, number)
    if not found and not ledger.has_unsettled(door):
        return []
    seen = Counter[str]()
    unseen = Counter[str]()
    answers = """SELECT question, json_extract(body, '$.value.kind')
        IN ('cannot_check', 'not_measured')
            OR json_extract(body, '$.value.unmeasured') IS NOT NULL
        FROM answers WHERE check_id = ?"""
    for question, missed in logbook._rows(answers, check):
        (unseen if missed else seen)[question.partition(".")[0]] += 1
    # what stands as reported at the signature leaves its part unseen: its fault may be there
    for (question,) in logbook._rows(_STILL_REPORTED, seq):
        unseen[question.partition(".")[0]] += 1
    return [
        Looked(
            seq,
            datetime.fromisoformat(at),
            local.of(seq, at),
            door,
            person,
            dict(seen),
            dict(unseen),
            found,
        )
    ]


def _deeds(logbook: Logbook, until: str, local: PlausibleDays) -> list[Deed]:
    kinds = ", ".join(f"'{kind}'" for kind in _DEEDS)
    sql = (
        f"SELECT seq, at, kind, person, body FROM entries WHERE kind IN ({kinds}) AND at < ? ORDER"
        " BY seq"
    )
    return [_deed(row, local) for row in logbook._rows(sql, until)]


def _deed(row: tuple[Any, ...], local: PlausibleDays) -> Deed:
    seq, at, kind, person, text = row
    body = json.loads(text)
    by = date.fromisoformat(body["by"]) if body.get("by") else None
    return Deed(
        seq,
        datetime.fromisoformat(at),
        local.of(seq, at),
        _DEEDS[EntryKind(kind)],
        body["defect"],
        person,
        body.get("text", ""),
        body.get("to"),
        by,
        body.get("evidence"),
        body.get("no_photo", ""),
    )


def _put_out(logbook: Logbook, until: str) -> dict[DoorId, str]:
    rows = logbook._rows("SELECT site, building, number, why FROM doors_out WHERE at < ?", until)
    return {(site, building, number): why for site, building, number, why in rows}


def _out(defects: dict[int, Defect]) -> dict[DoorId, str]:
    """Doors out of action by a defect; of several what is not repaired yet is told."""
    out = sorted(
        (each for each in defects.values() if each.out_of_action), key=lambda each: each.danger
    )
    return {each.door: each.why_out for each in out}


def known_wrong(logbook: Logbook, door: Door) -> str:
    """What is wrong with a door already, for whoever begins to check it; "" where nothing is."""
    found = read_defects(logbook, Targets(), door=door)
    id = (door.site, door.building, door.number)
    lines = [doors.out_of_action(found.out[id])] if id in found.out else []
    standing = found.at(id)
    still = [each.what for each in standing if each.state is State.OPEN and not each.out_of_action]
    mended = [
        each.what for each in standing if each.state is State.MADE_GOOD and not each.out_of_action
    ]
    lines += [doors.open_defects(still)] if still else []
    lines += [doors.to_look_at(mended)] if mended else []
    # entries of earlier versions say it in words only
    unmoved = any(
        each.finding.must_not_move or "Do not swing" in each.finding.do_now for each in standing
    )
    lines += [doors.LOOK_FIRST] if unmoved else []
    return " ".join(lines)


_ENTERED = {deed: kind for kind, deed in _DEEDS.items()}
_BY_SOMEBODY_KNOWN = (DeedKind.MADE_GOOD, DeedKind.LOOKED_AT, DeedKind.REOPENED)


def known_name(logbook: Logbook, person: str) -> str:
    """Who does something, as the logbook has the name.

    Raises LogbookError for somebody who is not known.
    """
    try:
        return doer(person, (each.name for each in logbook.people() if not each.gone))
    except ValueError as error:
        raise LogbookError(str(error)) from None


def only_supervisor(logbook: Logbook) -> str:
    """The name of the supervisor where there is one; "" where there is none, or several."""
    names = [
        each.name for each in logbook.people() if not each.gone and each.role == Role.SUPERVISOR
    ]
    return names[0] if len(names) == 1 else ""


def act(
    logbook: Logbook,
    defect: Defect,
    kind: DeedKind,
    person: str,
    now: datetime,
    text: str = "",
    to: str | None = None,
    by: date | None = None,
    evidence: str | None = None,
    no_photo: str = "",
) -> None:
    """Enter what somebody did about a defect.

    Raises LogbookError for unknown people, and where that cannot be.
    """
    person = known_name(logbook, person) if kind in _BY_SOMEBODY_KNOWN else person
    why_not = refusal(defect, kind, person, text, evidence, no_photo)
    if why_not:
        raise LogbookError(why_not)
    if to is not None and not any(
        known.name == to and not known.gone for known in logbook.people()
    ):
        raise LogbookError(f"Nobody called {to} is known. See: doorround people list.")
    site, building, number = defect.door
    given = {
        "text": text,
        "to": to,
        "by": by and by.isoformat(),
        "evidence": evidence,
        "no_photo": no_photo,
    }
    body = {
        "defect": defect.id,
        "site": site,
        "building": building,
        **{k: v for k, v in given.items() if v},
    }
    with logbook.writing():
        logbook._enter([Entry(kind=_ENTERED[kind], at=now, person=person, door=number, body=body)])


def put_out(logbook: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Enter that a door is out of action: it counts as no fire door until somebody says that it is
    fit.
    """
    _mark(logbook, EntryKind.DOOR_OUT, door, why, person, now)


def call_fit(
    logbook: Logbook, door: Door, why: str, person: str, now: datetime, targets: Targets
) -> None:
    """Enter that a door is fit again. Raises LogbookError for somebody who is not known, while a
    defect puts it out, or where it is not out.
    """
    person = known_name(logbook, person)
    found = read_defects(logbook, targets, door=door)
    holding = [
        each for each in found.at((door.site, door.building, door.number)) if each.out_of_action
    ]
    if any(each.danger for each in holding):
        ids = ", ".join(str(each.id) for each in holding if each.danger)
        raise LogbookError(
            f"Door {door.number} has an open act-now defect ({ids}). Make that good first."
        )
    if holding:
        raise LogbookError(
            f"Door {door.number}: defect {holding[0].id} is {NOT_LOOKED_AT}. Check the door, or"
            f" have somebody else look: doorround defects looked {holding[0].id} --person NAME."
        )
    if (door.site, door.building, door.number) not in found.out:
        raise LogbookError(f"Door {door.number} is not out of action.")
    _mark(logbook, EntryKind.DOOR_FIT, door, why, person, now)


def _mark(
    logbook: Logbook, kind: EntryKind, door: Door, why: str, person: str, now: datetime
) -> None:
    body = {"why": why, "site": door.site, "building": door.building}
    with logbook.writing():
        known = logbook.door(door.number, door.site, door.building)
        logbook._enter([Entry(kind=kind, at=now, person=person, door=known.number, body=body)])
