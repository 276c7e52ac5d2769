"""Rota data: people without a messenger, areas, days off and rounds."""

from __future__ import annotations

import json
from datetime import date, datetime

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Person, Right, Role, plain_name, same_name
from doorround.domain.schedule.rota import Area, Rota
from doorround.logbook.errors import LogbookError, PersonExistsError
from doorround.logbook.local_days import LocalDays
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.messages import people as messages


def add_person(
    logbook: Logbook, name: str, role: Role, sites: tuple[str, ...], by: str, now: datetime
) -> Person:
    """Add somebody who has no messenger, or none yet. Raises PersonExistsError if the name is
    taken.
    """
    with logbook.writing():
        if any(same_name(known.name, name) for known in logbook.people()):
            raise PersonExistsError(f"{name} is known already. Give another name.")
        known_as = plain_name(name)
        body = {"name": known_as, "role": role.value, "sites": list(sites)}
        logbook._enter([Entry(kind=EntryKind.PERSON_ADDED, at=now, person=by, body=body)])
        return People(logbook).person(known_as)


def give_area(logbook: Logbook, name: str, area: Area, by: str, now: datetime) -> None:
    """Assign doors to somebody by floor, building or use. An empty area removes the assignment.
    Raises LogbookError for a person who may not check doors.
    """
    with logbook.writing():
        known = People(logbook).person(name)
        if not known.may(Right.CHECK):
            raise LogbookError(messages.may_check_no_doors(name, known.gone))
        parts = {"floors": area.floors, "buildings": area.buildings, "uses": area.uses}
        body = {"name": name, **{part: list(given) for part, given in parts.items()}}
        logbook._enter([Entry(kind=EntryKind.AREA_GIVEN, at=now, person=by, body=body)])


def rota_of(logbook: Logbook, reached: frozenset[str] | None = None, until: int = 1 << 62) -> Rota:
    """Everybody, with their days off, snoozes and handed rounds. until: number of the last entry
    that counts.
    """
    away: dict[str, list[tuple[date, date]]] = {}
    snoozed: dict[str, date] = {}
    handed: list[tuple[date, str, str]] = []
    deputies: dict[str, list[tuple[date, date, str]]] = {}
    local = LocalDays(logbook.zone)
    areas: dict[str, Area] = {}
    kinds = "'days off', 'snoozed', 'handed over', 'area given'"
    for at, kind, text in logbook._rows(
        f"SELECT at, kind, body FROM entries WHERE kind IN ({kinds}) AND seq <= ? ORDER BY seq",
        until,
    ):
        body = json.loads(text)
        if kind == EntryKind.DAYS_OFF:
            span = (date.fromisoformat(body["from"]), date.fromisoformat(body["until"]))
            away.setdefault(body["name"], []).append(span)
            if body.get("deputy"):
                deputies.setdefault(body["name"], []).append((*span, body["deputy"]))
        elif kind == EntryKind.SNOOZED:
            snoozed[body["name"]] = date.fromisoformat(body["until"])
        elif kind == EntryKind.AREA_GIVEN:
            given = (tuple(body[part]) for part in ("floors", "buildings", "uses"))
            areas[body["name"]] = Area(*given)
        else:
            handed.append((local.of(at), body["from"], body["to"]))
    spans = {name: tuple(days) for name, days in away.items()}
    stand_ins = {name: tuple(some) for name, some in deputies.items()}
    people = tuple(logbook.people())
    walked = _walked(logbook)
    return Rota(people, spans, snoozed, tuple(handed), reached, stand_ins, areas, walked)


def _walked(logbook: Logbook) -> dict[tuple[str, str, str], str]:
    """Who checked last on each floor of each building."""
    sql = """SELECT site, building, floor, by, max(checked) FROM door_status
        WHERE by IS NOT NULL AND retired IS NULL GROUP BY site, building, floor"""
    return {(site, building, floor): by for site, building, floor, by, _ in logbook._rows(sql)}
