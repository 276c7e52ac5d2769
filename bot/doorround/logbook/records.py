"""Value types read from the logbook."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from doorround.domain.answers import Answer
from doorround.domain.door import Door
from doorround.domain.entries import Entry
from doorround.domain.findings import Finding, Verdict
from doorround.domain.people import Person
from doorround.logbook.errors import LogbookError


class EventRecord(Entry):
    """A stored entry. seq: 1, 2, …  zone: the site's zone name. before, hash: see chain.py."""

    seq: int
    zone: str
    before: str
    hash: str


@dataclass(frozen=True)
class CheckRecord:
    """One stored check.

    checklist: hash of the wording asked. stage: "open", "paused", "signed" or "cancelled". started,
    closed: UTC. verdict, answers, skipped: as signed; None, 0 and empty until then. look: for a
    short visit that only looked at repairs, how many, and how many were found put right.
    """

    id: str
    door: str
    site: str
    building: str
    person: str
    started: datetime
    checklist: str
    stage: str
    closed: datetime | None
    verdict: Verdict | None
    answers: int
    skipped: tuple[str, ...]
    look: tuple[int, int] | None = None


@dataclass(frozen=True)
class AnswerRecord:
    """An answer and what became of it. corrected_by, withdrawn_by: number of the entry
    that did so.
    """

    seq: int
    check: str
    person: str
    answer: Answer
    corrected_by: int | None
    withdrawn_by: int | None


@dataclass(frozen=True)
class FindingRecord:
    """A finding and its answer. answer: id of the answer. at: UTC."""

    seq: int
    at: datetime
    check: str
    door: str
    answer: str
    finding: Finding


@dataclass(frozen=True)
class RetiredDoor:
    """A retired door. at: since when, UTC. why: in the words of the person who retired it."""

    door: Door
    at: datetime
    why: str


def read_event(row: tuple[Any, ...]) -> EventRecord:
    """Build an entry from its ten columns. Raises LogbookError for a kind unknown to this
    version.
    """
    seq, at, zone, kind, door, check, person, body, before, hash = row
    try:
        return EventRecord.model_validate(
            {
                "seq": seq,
                "at": at,
                "zone": zone,
                "kind": kind,
                "door": door,
                "check": check,
                "person": person,
                "body": json.loads(body),
                "before": before,
                "hash": hash,
            }
        )
    except ValidationError as error:
        raise LogbookError(f"Entry {seq} cannot be read: {error.errors()[0]['msg']}.") from error


def read_retired(row: tuple[Any, ...]) -> RetiredDoor:
    """Build a retired door from door, retired and retired_why of the view `doors`."""
    door, at, why = row
    return RetiredDoor(Door.model_validate_json(door), datetime.fromisoformat(at), why)


def read_person(row: tuple[Any, ...]) -> Person:
    """Build a person from name, role, since, sites and gone of the view `people`."""
    name, role, since, sites, gone = row
    return Person(name, role, datetime.fromisoformat(since), tuple(json.loads(sites)), bool(gone))


def read_check(row: tuple[Any, ...]) -> CheckRecord:
    """Build a check from a row of the view `checks`."""
    id, door, site, building, person, started, checklist, stage, closed, signature = row
    body = json.loads(signature) if signature else {}
    return CheckRecord(
        id=id,
        door=door,
        site=site,
        building=building,
        person=person,
        started=datetime.fromisoformat(started),
        checklist=checklist,
        stage=stage,
        closed=datetime.fromisoformat(closed) if closed else None,
        verdict=Verdict(body["verdict"]) if body.get("verdict") else None,
        answers=int(body.get("answers", 0)),
        skipped=tuple(body.get("skipped", ())),
        look=_look(body["look"]) if "look" in body else None,
    )


def _look(body: dict[str, list[int]]) -> tuple[int, int]:
    return len(body["defects"]), len(body["sound"])


def read_finding(row: tuple[Any, ...]) -> FindingRecord:
    """Build a finding from a row of the view `findings`."""
    seq, at, check, door, answer, finding = row
    return FindingRecord(
        seq, datetime.fromisoformat(at), check, door, answer, Finding.model_validate_json(finding)
    )


def read_answer(row: tuple[Any, ...]) -> AnswerRecord:
    """Build an answer from a row of the view `answers_given`."""
    seq, check, person, body, corrected_by, withdrawn_by = row
    return AnswerRecord(
        seq, check, person, Answer.model_validate_json(body), corrected_by, withdrawn_by
    )
