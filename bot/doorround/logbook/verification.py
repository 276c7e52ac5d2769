"""Verifies that the logbook is as it was written."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from typing import Any

from sqlite_utils import Database

from doorround.logbook.chain import ChainFault, Head, Link, missing, text_digest, walk
from doorround.logbook.row_digests import row_faults
from doorround.logbook.schema_check import altered_parts

# as blobs, so that bytes no longer valid as UTF-8 can still be read
_RAW = ", ".join(
    f"CAST({name} AS BLOB)"
    for name in ("at", "zone", "kind", "door", "check_id", "person", "body", "before", "hash")
)


_NUMBERED = {"entries": "seq", "inbox": "id", "outbox": "id"}
"""Tables whose numbers are never reused."""
MAX_DAMAGE = 10
"""Maximum number of errors for SQLite's integrity check."""


def faults(db: Database) -> Iterator[ChainFault]:
    """Every discrepancy in the file: entries by number, then the rest."""
    unread = set[str]()
    found = 0
    for each in (entry_faults, _counted, row_faults, _altered):
        try:
            for fault in each(db):
                found += each in (entry_faults, _altered)
                yield fault
        except sqlite3.DatabaseError as error:
            unread.add(str(error))
    if not found and not unread:
        # otherwise it would only repeat the same
        yield from _due(db)
    try:
        for (text,) in db.conn.execute(f"PRAGMA integrity_check({MAX_DAMAGE})"):
            if text != "ok":
                yield ChainFault(None, f"the file is damaged: {' '.join(text.split())}")
    except sqlite3.DatabaseError as error:
        unread.add(str(error))
    for why in sorted(unread):
        yield ChainFault(None, f"the file cannot be read to its end: {why}")


def entry_faults(db: Database) -> Iterator[ChainFault]:
    """Faults of entries and checklists, without the file and its tables."""
    yield from walk(_links(db))
    yield from _cut_off(db)
    yield from _wording(db)


def _altered(db: Database) -> Iterator[ChainFault]:
    yield from (ChainFault(None, part) for part in altered_parts(db))
    if version := _one(db, "PRAGMA user_version"):
        yield ChainFault(None, f"the number user_version was set to {version}, which nobody uses")


def against(db: Database, noted: Head) -> Iterator[ChainFault]:
    """A fault if the entry whose hash was noted elsewhere no longer stands unchanged."""
    hash = _one(db, "SELECT max(CAST(hash AS BLOB)) FROM entries WHERE seq = ?", noted.seq)
    if noted.count and hash != noted.hash.encode():
        yield ChainFault(noted.seq, f"entry {noted.seq} is not the one whose hash was noted")


def _links(db: Database) -> Iterator[Link]:
    for seq, *fields, hash in db.conn.execute(f"SELECT seq, {_RAW} FROM entries ORDER BY seq"):
        yield Link(seq, (seq, *fields), fields[-1], hash)


def _cut_off(db: Database) -> Iterator[ChainFault]:
    given_out = _one(db, "SELECT coalesce(max(seq), 0) FROM sqlite_sequence WHERE name = 'entries'")
    last = _one(db, "SELECT coalesce(max(seq), 0) FROM entries")
    if given_out > last:
        yield ChainFault(last + 1, missing(last + 1, given_out))


def _counted(db: Database) -> Iterator[ChainFault]:
    """SQLite's autoincrement counters: one line per table, never behind its rows."""
    counts = db.conn.execute("SELECT name, seq FROM sqlite_sequence ORDER BY name").fetchall()
    names = [name for name, _ in counts]
    for table in _NUMBERED:
        last = _one(db, f"SELECT coalesce(max({_NUMBERED[table]}), 0) FROM {table}")
        if names.count(table) != 1 if last else names.count(table) > 1:
            yield ChainFault(None, f'the count of numbers of the table "{table}" was altered')
        elif any(
            name == table and not (isinstance(seq, int) and seq >= last) for name, seq in counts
        ):
            yield ChainFault(None, f'the count of numbers of the table "{table}" was set back')
    if strange := sorted({str(name) for name in names} - set(_NUMBERED)):
        yield ChainFault(None, f"numbers are counted of what is no table of ours: {strange[0]}")


def _wording(db: Database) -> Iterator[ChainFault]:
    for hash, text in db.conn.execute(
        "SELECT hash, CAST(checklist AS BLOB) FROM checklists ORDER BY hash"
    ):
        if text_digest(text) != hash:
            yield ChainFault(None, f"the checklist {hash[:12]}… is not as it was kept")
    starts = """SELECT seq, check_id FROM entries WHERE kind = 'check started' AND json_valid(body)
        AND json_extract(body, '$.checklist_hash') NOT IN (SELECT hash FROM checklists)
        ORDER BY seq"""
    for seq, check in db.conn.execute(starts):
        yield ChainFault(seq, f"the checklist of check {check} is missing")


def _due(db: Database) -> Iterator[ChainFault]:
    """Where the due list's projections disagree with the entries."""
    tables = {
        "door_names": "door_names_entered",
        "visits": "visits_entered WHERE number IS NOT NULL",
        "door_status": "door_status_entered",
    }
    columns = {
        "door_names": "number, site, building, since, until, id",
        "visits": "seq, number, site, building, check_id, person, at, seen, doubted, entered",
        "door_status": "*",
    }
    for name, entered in tables.items():
        kept, said = (f"SELECT {columns[name]} FROM {each}" for each in (name, entered))
        either = (
            f"SELECT * FROM ({kept} EXCEPT {said}) UNION ALL SELECT * FROM ({said} EXCEPT {kept})"
        )
        wrong = f"SELECT count(*) FROM ({either})"
        try:
            differs = bool(_one(db, wrong))
        except sqlite3.Error:
            # an unreadable entry, which the chain check reports
            differs = True
        if differs:
            yield ChainFault(
                None, f'the table "{name}" of the due list does not say what the entries say'
            )


def _one(db: Database, sql: str, *given: Any) -> Any:
    return db.conn.execute(sql, given).fetchone()[0]
