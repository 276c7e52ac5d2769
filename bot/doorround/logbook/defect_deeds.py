"""Enters actions on defects and on doors out of action."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from doorround.domain.defects import NOT_LOOKED_AT, DeedKind, Defect, State
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.judging.severity import Targets
from doorround.domain.people import Role, same_name
from doorround.domain.repair_look import Repair
from doorround.domain.repairs import doer, refusal
from doorround.logbook.defects import DEEDS, read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.rota import add_person
from doorround.logbook.store import Logbook
from doorround.messages import defects as messages
from doorround.messages import doors


def known_wrong(logbook: Logbook, door: Door, repairs: Collection[Repair] = ()) -> str:
    """Known defects of a door, for the person starting to check it; "" if none. repairs: left out,
    on a visit only for these.
    """
    found = read_defects(logbook, Targets(), door=door)
    id = (door.site, door.building, door.number)
    standing = found.at(id)
    dangers = any(each.danger for each in standing)
    tells_out = id in found.out and (dangers or not repairs)
    lines = [doors.out_of_action(found.out[id])] if tells_out else []
    still = [each.what for each in standing if each.state is State.OPEN and not each.out_of_action]
    looked_at = {each.defect for each in repairs}
    mended = [
        each.what
        for each in standing
        if each.state is State.MADE_GOOD and not each.out_of_action and each.id not in looked_at
    ]
    lines += [doors.open_defects(still)] if still else []
    lines += [doors.to_look_at(mended)] if mended else []
    # entries of earlier versions give it in words only
    unmoved = any(
        each.finding.must_not_move or "Do not swing" in each.finding.do_now for each in standing
    )
    lines += [doors.LOOK_FIRST] if unmoved else []
    return " ".join(lines)


def faulty_before(logbook: Logbook, door: Door) -> tuple[str, ...]:
    """Questions at which a fault was found at this door before, made good since or not."""
    found = read_defects(logbook, Targets(), door=door)
    id = (door.site, door.building, door.number)
    here = (each.finding.question for each in found.all.values() if each.door == id)
    return tuple(dict.fromkeys(here))


_ENTERED = {deed: kind for kind, deed in DEEDS.items()}
_BY_SOMEBODY_KNOWN = (DeedKind.MADE_GOOD, DeedKind.LOOKED_AT, DeedKind.REOPENED)


def known_name(logbook: Logbook, person: str) -> str:
    """The name of the person acting, as in the logbook.

    Raises LogbookError for an unknown person.
    """
    known = [each.name for each in logbook.people() if not each.gone]
    name = doer(person, known)
    if name is None:
        raise LogbookError(messages.unknown_doer(person, known))
    return name


def only_supervisor(logbook: Logbook) -> str:
    """The supervisor's name if there is exactly one; "" otherwise."""
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
    why: str = "",
) -> None:
    """Enter an action on a defect.

    Raises LogbookError for unknown people, and if the action is not possible.
    """
    person = known_name(logbook, person) if kind in _BY_SOMEBODY_KNOWN else person
    today = now.astimezone(ZoneInfo(logbook.zone)).date()
    why_not = refusal(defect, kind, person, text, evidence, no_photo, by, why, today)
    if why_not:
        raise LogbookError(messages.refused(why_not, defect, person, by, today))
    if to is not None and not any(
        known.name == to and not known.gone for known in logbook.people()
    ):
        raise LogbookError(messages.unknown_taker(to))
    given = {
        "text": text,
        "to": to,
        "by": by and by.isoformat(),
        "evidence": evidence,
        "no_photo": no_photo,
        "why": why,
        "same": kind is DeedKind.LOOKED_AT and same_name(person, defect.ended_by),
    }
    _enter(logbook, defect, kind, person, now, given)


def _enter(
    logbook: Logbook,
    defect: Defect,
    kind: DeedKind,
    person: str,
    now: datetime,
    given: Mapping[str, Any],
) -> None:
    site, building, number = defect.door
    filled = {key: value for key, value in given.items() if value}
    body = {"defect": defect.id, "site": site, "building": building, **filled}
    with logbook.writing():
        _enter_contractor(logbook, person, now)
        logbook._enter([Entry(kind=_ENTERED[kind], at=now, person=person, door=number, body=body)])


def give_defect(
    logbook: Logbook,
    defect: Defect,
    to: str,
    person: str,
    now: datetime,
    by: date | None = None,
    why: str = "",
) -> None:
    """Assign a defect to somebody; an outsider, "firm: name", is added to the known people. by:
    target date, why: the reason for a late one. Raises LogbookError.
    """
    with logbook.writing():
        _enter_contractor(logbook, to, now)
        act(logbook, defect, DeedKind.ASSIGNED, person, now, to=to, by=by, why=why)


def _enter_contractor(logbook: Logbook, person: str, now: datetime) -> None:
    """Add an outsider, "firm: name", at their first repair."""
    if ": " in person and all(not same_name(each.name, person) for each in logbook.people()):
        add_person(logbook, person, Role.CONTRACTOR, (), "doorround", now)


def put_out(logbook: Logbook, door: Door, why: str, person: str, now: datetime) -> None:
    """Enter that a door is out of action: it does not count as a fire door until somebody declares
    it fit.
    """
    _mark(logbook, EntryKind.DOOR_OUT, door, why, person, now)


def call_fit(
    logbook: Logbook, door: Door, why: str, person: str, now: datetime, targets: Targets
) -> None:
    """Enter that a door is fit again. Raises LogbookError for an unknown person, while a defect
    puts it out of action, or if it is not out of action.
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
