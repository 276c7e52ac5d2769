"""Attachments of a defect or door: photos and notes from checks, photos of repairs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from doorround.domain.defects import Defect
from doorround.logbook.store import Logbook

MAX_PHOTOS = 4
MAX_NOTES = 3


@dataclass(frozen=True)
class Attachment:
    """One attachment. text: of a note; sha256: of a photo; exactly one of the two. repair: it shows
    what was made good.
    """

    at: datetime
    person: str
    text: str = ""
    sha256: str = ""
    repair: bool = False


def attachments_of_defect(logbook: Logbook, defect: Defect) -> list[Attachment]:
    """Notes of the checks that saw the defect, photos of its question there, and of its repairs:
    the last few of each, in order of arrival.
    """
    site, building, number = defect.door
    checks = [
        check
        for (check,) in logbook._rows(
            """SELECT DISTINCT check_id FROM sightings WHERE number = ? AND site = ?
            AND building = ? AND json_extract(finding, '$.rule') IN (?, (
                SELECT json_extract(finding, '$.rule') FROM sightings WHERE seq = ?))""",
            number,
            site,
            building,
            defect.finding.rule,
            defect.id,
        )
    ]
    found = _of_checks(logbook, checks, defect.finding.question)
    repairs = [
        Attachment(deed.at, deed.person, sha256=deed.evidence, repair=True)
        for deed in defect.deeds
        if deed.evidence
    ]
    return _last_few([*found, *repairs])


def attachments_of_check(logbook: Logbook, check: str) -> list[Attachment]:
    """Photos and notes of one check, the last few of each, in order of arrival."""
    return _last_few(_of_checks(logbook, [check]))


def photos_of_question(logbook: Logbook, check: str, question: str) -> list[Attachment]:
    """Photos of one part at a check, in order of arrival."""
    return [each for each in _of_checks(logbook, [check], question) if each.sha256]


def _of_checks(
    logbook: Logbook, checks: list[str], question: str | None = None
) -> list[Attachment]:
    marks = ", ".join("?" * len(checks))
    given: list[Any] = [*checks]
    about = ""
    if question is not None:
        about = " AND (question = ? OR question IS NULL)"
        given.append(question)
    photos = f"""SELECT at, person, photo_sha256 FROM photos WHERE check_id IN ({marks}){about}
        ORDER BY seq"""
    notes = f"""SELECT at, person, text FROM notes WHERE check_id IN ({marks})
        AND text <> '' ORDER BY seq"""
    return [
        *(
            Attachment(datetime.fromisoformat(at), person, sha256=sha256)
            for at, person, sha256 in logbook._rows(photos, *given)
        ),
        *(
            Attachment(datetime.fromisoformat(at), person, text=text)
            for at, person, text in logbook._rows(notes, *checks)
        ),
    ]


def _last_few(found: list[Attachment]) -> list[Attachment]:
    once = {(each.sha256 or each.text): each for each in found}
    in_order = sorted(once.values(), key=lambda each: each.at)
    photos = [each for each in in_order if each.sha256][-MAX_PHOTOS:]
    notes = [each for each in in_order if not each.sha256][-MAX_NOTES:]
    return [*notes, *photos]
