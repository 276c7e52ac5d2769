"""Retention of recordings, deleted a set number of days after their checks were signed; and export
of a person's data.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.people import People
from doorround.logbook.records import EventRecord
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

HASH = re.compile(r"[0-9a-f]{64}")
# every place where an entry can name a recording: in an answer, a note, a door's name
_NAMED = """SELECT tree.value, e.check_id, (
        SELECT g.at FROM entries AS g WHERE g.check_id = e.check_id AND g.kind = 'signed'
    ) FROM entries AS e, json_tree(e.body) AS tree
    WHERE tree.key = 'audio_sha256' AND tree.type = 'text'"""


@dataclass(frozen=True)
class Tidying:
    """Plan for the recordings in a folder: hashes to delete, and to keep with the reason.

    too_young: of signed checks, within the retention period. unsigned: of an unsigned check, or of
    none: a recording not understood belongs to no check. These are never deleted.
    """

    delete: tuple[str, ...]
    too_young: tuple[str, ...]
    unsigned: tuple[str, ...]


def plan_tidying(
    stored: Iterable[str], named: Iterable[tuple[str, datetime | None]], days: int, now: datetime
) -> Tidying:
    """Which recordings may be deleted. Pure. stored: hashes in the folder. named: each recording
    named by an entry, with the signing time of its check, None if not signed. Raises ValueError for
    fewer than one day.
    """
    if days < 1:
        raise ValueError(f"{days} days: recordings are kept for one day at least.")
    latest: dict[str, datetime | None] = {}
    for hash, signed in named:
        before = latest.get(hash, signed)
        latest[hash] = None if signed is None or before is None else max(before, signed)
    delete: list[str] = []
    young: list[str] = []
    unsigned: list[str] = []
    for hash in sorted(stored):
        signed = latest.get(hash)
        if signed is None:
            unsigned.append(hash)
        else:
            (delete if now - signed >= timedelta(days=days) else young).append(hash)
    return Tidying(tuple(delete), tuple(young), tuple(unsigned))


def tidy_recordings(
    logbook: Logbook,
    folder: Path,
    days: int,
    now: datetime,
    by: str = "doorround",
    dry_run: bool = False,
) -> Tidying:
    """Delete expired recordings and enter their hashes, which are kept. dry_run: only report.

    The entry is written first: a missing recording is always accounted for, even after a crash in
    between.
    """
    with logbook.writing():
        tidying = plan_tidying(_stored(folder), _named(logbook), days, now)
        accounted = deleted(logbook)
        new = [hash for hash in tidying.delete if hash not in accounted]
        if new and not dry_run:
            body = {"deleted": new, "days": days}
            logbook._enter([Entry(kind=EntryKind.RECORDINGS_TIDIED, at=now, person=by, body=body)])
    for hash in () if dry_run else tidying.delete:
        (folder / hash).unlink(missing_ok=True)
    return tidying


def deleted(logbook: Logbook) -> frozenset[str]:
    """Hashes of recordings deleted on expiry."""
    sql = """SELECT hash.value FROM entries AS e, json_each(e.body, '$.deleted') AS hash
        WHERE e.kind = 'recordings tidied'"""
    return frozenset(hash for (hash,) in logbook._rows(sql))


def remember(logbook: Logbook, audio_sha256: str, person: str) -> None:
    """Record who sent a recording, whatever its outcome."""
    with logbook.writing():
        sql = "INSERT OR IGNORE INTO recordings_sent (audio_sha256, person) VALUES (?, ?)"
        logbook._db.conn.execute(sql, (audio_sha256, person))


def own_data(logbook: Logbook, name: str, folder: Path, now: datetime) -> dict[str, Any]:
    """Export of all personal data for the person concerned: role, accounts, consents, each entry by
    or about them, their recordings and photos (`photos` beside the folder), and the stored messages
    in both directions. Raises UnknownPersonError.
    """
    person = People(logbook).person(name)
    mine = _entries_of(logbook, name)
    return {
        "about": {
            "name": person.name,
            "role": person.role,
            "sites": list(person.sites),
            "left": person.gone,
            "since": stamp(person.since),
        },
        "given_out": stamp(now),
        "accounts": [
            {"channel": each.channel, "account": each.id} for each in People(logbook).accounts(name)
        ],
        "agreed_to": [
            entry.body["agreed_to"] for entry in mine if entry.kind is EntryKind.CONSENT_GIVEN
        ],
        "entries": [{**entry.model_dump(mode="json"), "at": stamp(entry.at)} for entry in mine],
        "recordings": _recordings_of(logbook, name, folder),
        "photos": [
            {"sha256": hash, "stored": (folder.parent / "photos" / f"{hash}.jpg").is_file()}
            for (hash,) in logbook._rows(
                "SELECT DISTINCT photo_sha256 FROM photos WHERE person = ? ORDER BY seq", name
            )
        ],
        "messages": _messages(logbook, name),
    }


def _entries_of(logbook: Logbook, name: str) -> list[EventRecord]:
    """Entries by or about a person."""
    about = """SELECT seq FROM entries WHERE person = ?1 UNION SELECT seq FROM entries
        WHERE kind IN ('person added', 'person joined', 'role changed', 'person left',
                'reminded', 'snoozed', 'days off')
            AND json_extract(body, '$.name') = ?1
        UNION SELECT seq FROM entries WHERE kind = 'defect assigned'
        AND json_extract(body, '$.to') = ?1
        UNION SELECT seq FROM entries WHERE kind = 'handed over' AND ?1 IN (
            json_extract(body, '$.from'), json_extract(body, '$.to'))"""
    wanted = {seq for (seq,) in logbook._rows(about, name)}
    return [entry for entry in logbook.entries() if entry.seq in wanted]


def _recordings_of(logbook: Logbook, name: str, folder: Path) -> list[dict[str, Any]]:
    """Recordings that a person sent or that an entry of theirs names, each once."""
    named = [hash for hash, _, _ in logbook._rows(f"{_NAMED} AND e.person = ?", name)]
    sql = "SELECT audio_sha256 FROM recordings_sent WHERE person = ?"
    sent = [hash for (hash,) in logbook._rows(sql, name)]
    gone = deleted(logbook)
    return [
        {"sha256": hash, "stored": (folder / hash).is_file(), "deleted_as_set": hash in gone}
        for hash in dict.fromkeys((*named, *sent))
    ]


def _messages(logbook: Logbook, name: str) -> dict[str, list[dict[str, Any]]]:
    """Stored messages to and from every account a person ever had."""
    of_theirs = """chat IN (SELECT json_extract(body, '$.channel') || '/' || json_extract(body,
    '$.account')
        FROM entries WHERE kind = 'person joined' AND json_extract(body, '$.name') = ?1
        UNION SELECT chat FROM chats WHERE person = ?1) ORDER BY id"""
    came = logbook._rows(f"SELECT received, body FROM inbox WHERE {of_theirs}", name)
    went = logbook._rows(f"SELECT written, body FROM outbox WHERE {of_theirs}", name)
    return {
        "received": [{"at": at, "update": json.loads(body)} for at, body in came],
        "sent": [{"at": at, "text": json.loads(body).get("text", "")} for at, body in went],
    }


def _stored(folder: Path) -> list[str]:
    return (
        [path.name for path in folder.iterdir() if HASH.fullmatch(path.name)]
        if folder.is_dir()
        else []
    )


def _named(logbook: Logbook) -> list[tuple[str, datetime | None]]:
    rows = logbook._rows(_NAMED)
    return [(hash, datetime.fromisoformat(signed) if signed else None) for hash, _, signed in rows]
