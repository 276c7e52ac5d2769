"""Reads defects from the logbook."""

from __future__ import annotations

import json
from collections import Counter, deque
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from doorround.domain.defect_ledger import DefectLedger
from doorround.domain.defects import (
    CheckedParts,
    Deed,
    DeedKind,
    Defect,
    Event,
    Sighting,
    State,
    Withdrawal,
)
from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.domain.findings import Finding
from doorround.domain.judging.severity import Targets
from doorround.domain.schedule.due import DoorId
from doorround.domain.unnamed_faults import PREFIX
from doorround.logbook.as_of import as_of
from doorround.logbook.local_days import PlausibleDays
from doorround.logbook.register_as_of import Names, retired_then
from doorround.logbook.store import Logbook

_FOREVER = 1 << 62
_SIGHTING = """v.seq, v.at, v.number, v.site, v.building, v.person, v.finding, v.check_id,
    v.answer, v.signed,
    v.gone, v.gone_at, v.gone_by"""
_STILL_REPORTED = (
    "SELECT r.value FROM entries AS e, json_each(e.body, '$.reported') AS r WHERE e.seq = ?"
)
_ANSWERS = f"""SELECT question,
    json_extract(body, '$.value.kind') IN ('cannot_check', 'not_measured')
        OR json_extract(body, '$.value.unmeasured') IS NOT NULL,
    (SELECT count(*) FROM json_each(body, '$.value.defects') AS d
        WHERE json_extract(d.value, '$.name') GLOB '{PREFIX}_*')
    FROM answers WHERE check_id = ?"""
"""Per answer: its question, whether nothing was seen, and its number of faults in own words."""
DEEDS = {
    EntryKind.DEFECT_ASSIGNED: DeedKind.ASSIGNED,
    EntryKind.DEFECT_MADE_GOOD: DeedKind.MADE_GOOD,
    EntryKind.DEFECT_NOTED: DeedKind.NOTED,
    EntryKind.MEASURE_TAKEN: DeedKind.MEASURE,
    EntryKind.DEFECT_LOOKED_AT: DeedKind.LOOKED_AT,
    EntryKind.DEFECT_REOPENED: DeedKind.REOPENED,
    EntryKind.DEFECT_NAMED: DeedKind.NAMED,
    EntryKind.DEFECT_DISMISSED: DeedKind.DISMISSED,
}


@dataclass(frozen=True)
class Defects:
    """Every defect ever found, by number, and the doors out of action, with the reason. gone:
    findings since withdrawn, by original number. since: from when each door has been out of action.
    retired: defects of retired doors, which nobody is asked to repair.
    """

    all: dict[int, Defect]
    out: dict[DoorId, str]
    gone: dict[int, Defect] = field(default_factory=dict)
    since: dict[DoorId, date] = field(default_factory=dict)
    retired: dict[int, Defect] = field(default_factory=dict)

    def called(self, id: int) -> Defect | None:
        """The defect of that number, even if withdrawn."""
        return self.all.get(id) or self.gone.get(id) or self.retired.get(id)

    @property
    def open(self) -> list[Defect]:
        """Open defects, oldest first."""
        return [each for each in self.all.values() if each.state is State.OPEN]

    @property
    def to_be_looked_at(self) -> list[str]:
        """Numbers of doors still out of action because of defects reported as repaired."""
        waiting = {
            each.door for each in self.all.values() if each.out_of_action and not each.danger
        }
        return [number for _, _, number in sorted(waiting)]

    def at(self, door: DoorId) -> list[Defect]:
        """Defects of one door that are not closed."""
        return [
            each
            for each in self.all.values()
            if each.door == door and each.state is not State.CLOSED
        ]


def read_defects(
    logbook: Logbook, targets: Targets, day: date | None = None, door: Door | None = None
) -> Defects:
    """Defects now, or as known at the end of a local day. door: only of that one. Doors appear
    under their names at that time.
    """
    return defects_as_of(logbook, targets, _FOREVER if day is None else as_of(logbook, day), door)


def defects_as_of(
    logbook: Logbook, targets: Targets, until: int, door: Door | None = None
) -> Defects:
    """Defects as known when the entry of that number was the last."""
    names = Names(logbook, until)
    where = "v.seq <= ?"
    given: list[int | str] = [until]
    if door is not None:
        where += " AND v.number = ? AND v.site = ? AND v.building = ?"
        given += [door.number, door.site, door.building]
    ledger = DefectLedger(targets)
    local = PlausibleDays(logbook)
    found: dict[int, set[str]] = {}
    beside: list[Event] = [*_deeds(logbook, until, local)]
    for row in logbook._rows(
        f"SELECT {_SIGHTING} FROM sightings AS v WHERE {where} ORDER BY v.seq", *given
    ):
        sighting = _sighting(row, local, until, names)
        signed = row[9]
        beside.append(sighting)
        if sighting.gone is None and signed is not None and signed <= until:
            found.setdefault(signed, set()).add(sighting.finding.rule)
    visits = f"""SELECT v.seq, v.at, v.number, v.site, v.building, v.person, v.check_id
        FROM visits AS v
        WHERE {where} AND v.check_id IS NOT NULL ORDER BY v.seq"""
    waiting = deque(sorted(beside, key=lambda each: each.seq))
    for row in logbook._rows(visits, *given):
        while waiting and waiting[0].seq < row[0]:
            ledger.take([waiting.popleft()])
        looked = _of_visit(logbook, ledger, row, frozenset(found.get(row[0], ())), local, names)
        ledger.take(looked)
    ledger.take(waiting)
    retired = retired_then(logbook, until) if door is None else set()
    return _as_found(ledger, _put_out(logbook, until, names, local), retired)


def _as_found(ledger: DefectLedger, put_out: _PutOut, retired: set[DoorId]) -> Defects:
    """Contents of the ledger, with retired doors kept separate."""
    put_out = {id: why for id, why in put_out.items() if id not in retired}
    standing = {id: each for id, each in ledger.defects.items() if each.door not in retired}
    return Defects(
        standing,
        {**{id: why for id, (why, _) in put_out.items()}, **_out(standing)},
        ledger.gone,
        _since(put_out, standing),
        {id: each for id, each in ledger.defects.items() if each.door in retired},
    )


def _sighting(row: tuple[Any, ...], local: PlausibleDays, until: int, names: Names) -> Sighting:
    seq, at, number, site, building, person, finding, check, answer, _, gone, gone_at, gone_by = row
    door = names.then((site, building, number))
    found = Finding.model_validate_json(finding)
    back = None
    if gone is not None and gone <= until:
        back = Withdrawal(gone, datetime.fromisoformat(gone_at), local.of(gone, gone_at), gone_by)
    return Sighting(
        seq, datetime.fromisoformat(at), local.of(seq, at), door, person, found, check, answer, back
    )


def _of_visit(
    logbook: Logbook,
    ledger: DefectLedger,
    row: tuple[Any, ...],
    found: frozenset[str],
    local: PlausibleDays,
    names: Names,
) -> list[Event]:
    """What one signed check implies for defects. Its answers are read only if relevant."""
    seq, at, number, site, building, person, check = row
    door = names.then((site, building, number))
    if not found and not ledger.has_unsettled(door):
        return []
    seen = Counter[str]()
    unseen = Counter[str]()
    for question, missed, unnamed in logbook._rows(_ANSWERS, check):
        (unseen if missed else seen)[question.partition(".")[0]] += 1
        # what a person has yet to judge may be any fault known of the part
        unseen[question.partition(".")[0]] += unnamed
    # a report unconfirmed at the signature leaves its part unseen: the fault may be there
    for (question,) in logbook._rows(_STILL_REPORTED, seq):
        unseen[question.partition(".")[0]] += 1
    return [
        CheckedParts(
            seq,
            datetime.fromisoformat(at),
            local.of(seq, at),
            door,
            person,
            dict(seen),
            dict(+unseen),
            found,
        )
    ]


def _deeds(logbook: Logbook, until: int, local: PlausibleDays) -> list[Deed]:
    kinds = ", ".join(f"'{kind}'" for kind in DEEDS)
    sql = (
        f"SELECT seq, at, kind, person, body FROM entries WHERE kind IN ({kinds})"
        " AND seq <= ? ORDER BY seq"
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
        DEEDS[EntryKind(kind)],
        body["defect"],
        person,
        body.get("text", ""),
        body.get("to"),
        by,
        body.get("evidence"),
        body.get("no_photo", ""),
        Finding.model_validate(body["finding"]) if body.get("finding") else None,
        body.get("why", ""),
        bool(body.get("same")),
    )


_PutOut = dict[DoorId, tuple[str, date]]


def _put_out(logbook: Logbook, until: int, names: Names, local: PlausibleDays) -> _PutOut:
    """Doors that somebody put out of action and nobody has declared fit: reason and start."""
    found: _PutOut = {}
    sql = """SELECT o.seq, o.at, o.kind, c.site, c.building, c.number, json_extract(o.body, '$.why')
        FROM entries AS o JOIN door_names AS n ON n.number = o.door AND n.site = o.site
            AND n.building = o.building AND n.since < o.seq
            AND (n.until IS NULL OR o.seq < n.until)
        JOIN door_names AS c ON c.id = n.id AND c.until IS NULL
        WHERE o.kind IN ('door out of action', 'door fit again') AND o.seq <= ? ORDER BY o.seq"""
    for seq, at, kind, site, building, number, why in logbook._rows(sql, until):
        door = names.then((site, building, number))
        before = found.pop(door, None)
        if kind == EntryKind.DOOR_OUT:
            found[door] = (why, before[1] if before else local.of(seq, at))
    return found


def _since(put_out: _PutOut, defects: dict[int, Defect]) -> dict[DoorId, date]:
    """Since when each door has been out of action, by whichever cause came first."""
    since = {door: day for door, (_, day) in put_out.items()}
    for each in defects.values():
        if each.out_of_action:
            since[each.door] = min(since.get(each.door, date.max), each.opened)
    return since


def _out(defects: dict[int, Defect]) -> dict[DoorId, str]:
    """Doors out of action because of a defect; if there are several, one not yet repaired
    is named.
    """
    out = sorted(
        (each for each in defects.values() if each.out_of_action), key=lambda each: each.danger
    )
    return {each.door: each.why_out for each in out}
