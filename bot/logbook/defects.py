"""Defects read out of the logbook, and what is done about them entered."""

from __future__ import annotations

import json
from collections import Counter, deque
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from bot.domain.defects import Deed, DeedKind, Defect, DefectLedger, Event, Looked, Sighting, State
from bot.domain.door import Door
from bot.domain.entries import Entry, EntryKind
from bot.domain.findings import Finding
from bot.domain.judging.severity import Targets
from bot.domain.schedule.due import DoorId
from bot.logbook.due import LocalDays, midnight_after
from bot.logbook.errors import LogbookError
from bot.logbook.store import Logbook
from bot.logbook.turns import stamp

_FOREVER = "9999"
_SIGHTING = "v.seq, v.signed, v.at, v.number, v.site, v.building, v.person, v.finding, v.unsigned"
_DEEDS = {
    EntryKind.DEFECT_ASSIGNED: DeedKind.ASSIGNED, EntryKind.DEFECT_MADE_GOOD: DeedKind.MADE_GOOD,
    EntryKind.DEFECT_NOTED: DeedKind.NOTED, EntryKind.MEASURE_TAKEN: DeedKind.MEASURE,
}  # fmt: skip
_ENTERED = {deed: kind for kind, deed in _DEEDS.items()}


@dataclass(frozen=True)
class Defects:
    """Every defect ever found, by number, and the doors that are out of action, with why."""

    all: dict[int, Defect]
    out: dict[DoorId, str]

    @property
    def open(self) -> list[Defect]:
        """Those that are open, the oldest first."""
        return [each for each in self.all.values() if each.state is State.OPEN]

    def at(self, door: DoorId) -> list[Defect]:
        """Those of one door that are not closed."""
        return [each for each in self.all.values() if each.door == door and each.state is not State.CLOSED]


def read_defects(book: Logbook, targets: Targets, day: date | None = None, door: Door | None = None) -> Defects:
    """Defects as they stand, or as they stood at the end of a local day. door: only of that one."""
    until = _FOREVER if day is None else stamp(midnight_after(day, book.zone))
    where, of = "v.at < ?", [until]
    if door is not None:
        where += " AND v.number = ? AND v.site = ? AND v.building = ?"
        of += [door.number, door.site, door.building]
    ledger, local = DefectLedger(targets), LocalDays(book.zone)
    sighted: dict[int, list[Sighting]] = {}
    beside: list[tuple[int, Event]] = [(deed.seq, deed) for deed in _deeds(book, until, local)]
    for row in book._rows(f"SELECT {_SIGHTING} FROM sightings AS v WHERE {where} ORDER BY v.seq", *of):
        sighting = _sighting(row, local)
        if row[-1]:
            beside.append((sighting.seq, sighting))
        else:
            sighted.setdefault(row[1], []).append(sighting)
    visits = f"""SELECT v.seq, v.at, v.number, v.site, v.building, v.person, v.check_id FROM visited AS v
        WHERE {where} AND v.check_id IS NOT NULL ORDER BY v.seq"""
    waiting = deque(sorted(beside, key=lambda each: each[0]))
    for row in book._rows(visits, *of):
        while waiting and waiting[0][0] < row[0]:
            ledger.take([waiting.popleft()[1]])
        ledger.take(_of_visit(book, ledger, row, sighted.get(row[0], []), local))
    ledger.take([event for _, event in waiting])
    return Defects(ledger.defects, {**_put_out(book, until), **_out(ledger.defects)})


def _sighting(row: tuple[Any, ...], local: LocalDays) -> Sighting:
    seq, _, at, number, site, building, person, finding, unsigned = row
    door, found = (site, building, number), Finding.model_validate_json(finding)
    return Sighting(seq, datetime.fromisoformat(at), local.of(at), door, person, found, not unsigned)


def _of_visit(
    book: Logbook, ledger: DefectLedger, row: tuple[Any, ...], sighted: list[Sighting], local: LocalDays
) -> list[Event]:
    """What one signed check says of defects. Its answers are read only where they could say something."""
    seq, at, number, site, building, person, check = row
    door = (site, building, number)
    if not sighted and not ledger.has_unsettled(door):
        return []
    seen, unseen = Counter[str](), Counter[str]()
    answers = """SELECT question, json_extract(body, '$.value.kind') IN ('cannot_check', 'not_measured')
            OR json_extract(body, '$.value.unmeasured') IS NOT NULL
        FROM answers WHERE check_id = ?"""
    for question, missed in book._rows(answers, check):
        (unseen if missed else seen)[question.partition(".")[0]] += 1
    return [*sighted, Looked(seq, datetime.fromisoformat(at), local.of(at), door, person, dict(seen), dict(unseen))]


def _deeds(book: Logbook, until: str, local: LocalDays) -> list[Deed]:
    kinds = ", ".join(f"'{kind}'" for kind in _DEEDS)
    sql = f"SELECT seq, at, kind, person, body FROM entries WHERE kind IN ({kinds}) AND at < ? ORDER BY seq"
    return [_deed(row, local) for row in book._rows(sql, until)]


def _deed(row: tuple[Any, ...], local: LocalDays) -> Deed:
    seq, at, kind, person, text = row
    body = json.loads(text)
    by = date.fromisoformat(body["by"]) if body.get("by") else None
    return Deed(
        seq, datetime.fromisoformat(at), local.of(at), _DEEDS[EntryKind(kind)], body["defect"], person,
        body.get("text", ""), body.get("to"), by, body.get("evidence"),
    )  # fmt: skip


def _put_out(book: Logbook, until: str) -> dict[DoorId, str]:
    rows = book._rows("SELECT site, building, number, why FROM doors_out WHERE at < ?", until)
    return {(site, building, number): why for site, building, number, why in rows}


def _out(defects: dict[int, Defect]) -> dict[DoorId, str]:
    return {each.door: each.what for each in defects.values() if each.out_of_action}


def known_wrong(book: Logbook, door: Door) -> str:
    """What is wrong with a door already, for whoever begins to check it; "" where nothing is."""
    found, id = read_defects(book, Targets(), door=door), (door.site, door.building, door.number)
    lines = [f"This door is out of action: {found.out[id]}."] if id in found.out else []
    standing = found.at(id)
    still = [each.what for each in standing if each.state is State.OPEN and not each.out_of_action]
    mended = [each.what for each in standing if each.state is State.MADE_GOOD]
    lines += [f"Open here: {'; '.join(still)}."] if still else []
    lines += [f"Said to be made good, look again: {'; '.join(mended)}."] if mended else []
    # entries of earlier versions say it in words only
    unmoved = any(each.finding.must_not_move or "Do not swing" in each.finding.do_now for each in standing)
    lines += ["It was not to be moved: look before you open it, and say what you see."] if unmoved else []
    return " ".join(lines)


def act(
    book: Logbook, defect: Defect, kind: DeedKind, person: str, now: datetime, text: str = "", to: str | None = None,
    by: date | None = None, evidence: str | None = None,
) -> None:  # fmt: skip
    """Enter what somebody did about a defect. Raises LogbookError for one that is closed, or unknown people."""
    if defect.state is State.CLOSED:
        raise LogbookError(
            f"Defect {defect.id} is closed already, by {defect.ended_by}. See doorround defects list --all."
        )
    if to is not None and not any(known.name == to and not known.gone for known in book.people()):
        raise LogbookError(f"Nobody called {to} is known. See: doorround people list.")
    site, building, number = defect.door
    given = {"text": text, "to": to, "by": by and by.isoformat(), "evidence": evidence}
    body = {"defect": defect.id, "site": site, "building": building, **{k: v for k, v in given.items() if v}}
    with book.writing():
        book._enter([Entry(kind=_ENTERED[kind], at=now, person=person, door=number, body=body)])


def put_out(book: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Enter that a door is out of action: it counts as no fire door until somebody says that it is fit."""
    _mark(book, EntryKind.DOOR_OUT, door, why, person, now)


def call_fit(book: Logbook, door: Door, why: str, person: str, now: datetime, targets: Targets) -> None:
    """Enter that a door is fit again. Raises LogbookError while a defect that puts it out is open, or it is not out."""
    found = read_defects(book, targets, door=door)
    holding = [str(each.id) for each in found.at((door.site, door.building, door.number)) if each.out_of_action]
    if holding:
        raise LogbookError(
            f"Door {door.number} has an open act-now defect ({', '.join(holding)}). Make that good first."
        )
    if (door.site, door.building, door.number) not in found.out:
        raise LogbookError(f"Door {door.number} is not out of action.")
    _mark(book, EntryKind.DOOR_FIT, door, why, person, now)


def _mark(book: Logbook, kind: EntryKind, door: Door, why: str, person: str, now: datetime) -> None:
    body = {"why": why, "site": door.site, "building": door.building}
    with book.writing():
        known = book.door(door.number, door.site, door.building)
        book._enter([Entry(kind=kind, at=now, person=person, door=known.number, body=body)])
