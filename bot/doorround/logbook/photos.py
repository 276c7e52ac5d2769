"""Photos in the logbook: subject, photos outside a check, deletion if the settings require it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from doorround.dialogue.photos import Photo
from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.recordings import HASH, Tidying, plan_tidying
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

_NAMED = """SELECT json_extract(p.body, '$.photo_sha256'), (
        SELECT g.at FROM entries AS g WHERE g.check_id = p.check_id AND g.kind = 'signed'
    ) FROM entries AS p WHERE p.kind = 'photographed'"""

_GONE = """SELECT sha256.value FROM entries AS e, json_each(e.body, '$.deleted') AS sha256
    WHERE e.kind = 'photos tidied'"""


@dataclass(frozen=True)
class KeptPhoto:
    """seq: of its entry. check, door: None for a photo of no check. question: key of its subject,
    None for the whole door. answer: id of the answer in force when it arrived.
    """

    seq: int
    at: datetime
    check: str | None
    door: str | None
    person: str
    question: str | None
    answer: str | None
    sha256: str


def photos(
    logbook: Logbook, check: str | None = None, person: str | None = None
) -> list[KeptPhoto]:
    """Photos of a check, of a person, or all, in order of arrival; one sent twice in a check
    appears once, with its latest subject.
    """
    wanted = [("check_id", check), ("person", person)]
    given = [(name, value) for name, value in wanted if value is not None]
    where = " AND ".join(f"{name} = ?" for name, _ in given) or "true"
    sql = f"""SELECT seq, at, check_id, door, person, question, answer, photo_sha256 FROM photos
        WHERE {where} ORDER BY seq"""
    rows = logbook._rows(sql, *(value for _, value in given))
    return [KeptPhoto(seq, datetime.fromisoformat(at), *rest) for seq, at, *rest in rows]


def keep_alone(
    logbook: Logbook,
    photo: Photo,
    person: str,
    at: datetime,
    of: dict[str, Any] | None = None,
    door: str | None = None,
) -> None:
    """Enter a photo outside any open check, with its caption. of: check and question that it was
    sent for. door: number of the door that the caption is about, where known.
    """
    body = {"photo_sha256": photo.sha256, "album": photo.album, "of": of}
    entries = [Entry(kind=EntryKind.PHOTOGRAPHED, at=at, person=person, body=body)]
    if photo.caption:
        note = {"text": photo.caption, "audio_sha256": None, "photo_sha256": photo.sha256}
        entries.append(Entry(kind=EntryKind.NOTED, at=at, person=person, door=door, body=note))
    with logbook.writing():
        logbook._enter(entries)


def photo_by_itself(logbook: Logbook, person: str, since: datetime) -> str | None:
    """SHA-256 of the last photo that somebody sent since then, with no check open, that is not yet
    attached to a repair.
    """
    sql = """SELECT p.photo_sha256 FROM photos AS p WHERE p.person = ? AND p.check_id IS NULL
        AND p.at >= ?
        AND NOT EXISTS (
            SELECT 1 FROM entries AS e
            WHERE e.kind = 'defect made good'
            AND json_extract(e.body, '$.evidence') = p.photo_sha256
        ) ORDER BY p.seq DESC LIMIT 1"""
    rows = logbook._rows(sql, person, stamp(since))
    return str(rows[0][0]) if rows else None


@dataclass(frozen=True)
class Album:
    """The part of an album received so far: number of photos, caption, question and check."""

    count: int
    captions: tuple[str, ...] = ()
    check: str | None = None
    question: str | None = None


def album_so_far(logbook: Logbook, person: str, album: str) -> Album:
    """Entered photos of an album."""
    sql = """SELECT p.check_id, p.question, (
            SELECT json_extract(n.body, '$.text') FROM entries AS n WHERE n.seq = p.seq + 1
            AND n.kind = 'noted'
                AND json_extract(n.body, '$.photo_sha256') = json_extract(p.body, '$.photo_sha256')
        ) FROM entries AS p
        WHERE p.kind = 'photographed' AND p.person = ?
        AND json_extract(p.body, '$.album') = ? ORDER BY p.seq"""
    rows = logbook._rows(sql, person, album)
    if not rows:
        return Album(0)
    return Album(len(rows), tuple(caption for _, _, caption in rows if caption), *rows[0][:2])


def tidy_photos(
    logbook: Logbook,
    folder: Path,
    days: int,
    now: datetime,
    by: str = "doorround",
    dry_run: bool = False,
) -> Tidying:
    """Delete photos whose checks were signed so many days ago, as tidy_recordings() does. Photos
    are evidence: called only if the settings specify days.
    """
    stored = (
        {path.stem: path for path in folder.iterdir() if HASH.fullmatch(path.stem)}
        if folder.is_dir()
        else {}
    )
    with logbook.writing():
        named = [
            (sha256, datetime.fromisoformat(at) if at else None)
            for sha256, at in logbook._rows(_NAMED)
        ]
        tidying = plan_tidying(stored, named, days, now)
        gone = {
            sha256 for (sha256,) in logbook._rows(_GONE)
        }  # entered by a run that died before deleting it
        new = [sha256 for sha256 in tidying.delete if sha256 not in gone]
        if new and not dry_run:
            body = {"deleted": new, "days": days}
            logbook._enter([Entry(kind=EntryKind.PHOTOS_TIDIED, at=now, person=by, body=body)])
    for sha256 in () if dry_run else tidying.delete:
        stored[sha256].unlink(missing_ok=True)
    return tidying
