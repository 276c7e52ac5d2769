"""A digest for each row of the tables outside the chain: states of talks, messages in and out,
people about to join, checklists.

Maintained by triggers, in the transaction of the change, through a function that `give_digests`
registers on a connection. So a program without it is refused, and a row changed behind the
logbook's back no longer has a digest. Its old digest stays as proof, whatever is written later.
Like the chain, this does not detect somebody recomputing every digest.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from sqlite_utils import Database

from doorround.logbook.chain import ChainFault, Field, row_digest

DIGESTED = (
    "channels",
    "chats",
    "checklists",
    "door_search",
    "inbox",
    "joining",
    "message_effects",
    "outbox",
    "processed_messages",
    "recordings_sent",
    "strangers",
    "talks",
)
"""The tables, by name. The contents of `visits`, `door_status` and `door_names` are verified
against entries.
"""
MIGRATIONS = "_sqlite_migrations"
NOTED = "logbook.noted"
"""Not a table: marks that the last entry is noted beside the logbook."""


def give_digests(conn: sqlite3.Connection) -> None:
    """Register the function that the triggers call."""
    # off by default in some builds of SQLite: application functions in triggers
    conn.execute("PRAGMA trusted_schema = ON")
    conn.create_function("row_digest", -1, _digest, deterministic=True)


def _digest(table: str, *fields: Field) -> str:
    return row_digest(table, fields)


def digest_rows(db: Database, table: str) -> None:
    """Digest a table's rows, now and on every write. Call again when the table gets
    another column.
    """
    conn = db.conn
    columns = _columns(conn, table)
    new, old, own = (
        f"row_digest('{table}', {', '.join(f'{place}{name}' for name in columns)})"
        for place in ("NEW.", "OLD.", "")
    )
    conn.execute("DELETE FROM row_digests WHERE of = ?", (table,))
    conn.execute(f"INSERT INTO row_digests (of, digest) SELECT '{table}', {own} FROM {table}")
    keep = f"INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('{table}', {new});"
    forget = f"DELETE FROM row_digests WHERE of = '{table}' AND digest = {old};"
    for name, event, steps in (
        ("added", "INSERT", (keep,)),
        ("changed", "UPDATE", (forget, keep)),
        ("gone", "DELETE", (forget,)),
    ):
        conn.execute(f"DROP TRIGGER IF EXISTS digest_of_{table}_{name}")
        conn.execute(
            f"CREATE TRIGGER digest_of_{table}_{name} AFTER {event} ON {table} BEGIN\n    "
            + "\n    ".join(steps)
            + "\nEND"
        )


def digest_migrations(conn: sqlite3.Connection) -> None:
    """Digest the list of applied migrations, if the schema has digests. No triggers: only migrate()
    writes there.
    """
    if "row_digests" in _tables(conn):
        columns = ", ".join(_columns(conn, MIGRATIONS))
        conn.execute(
            f"INSERT OR IGNORE INTO row_digests (of, digest) SELECT '{MIGRATIONS}',"
            f" row_digest('{MIGRATIONS}', {columns}) FROM {MIGRATIONS}"
        )


def row_faults(db: Database) -> Iterator[ChainFault]:
    """Rows that differ from what the logbook wrote, and the number missing. Empty for a logbook
    from before digests.
    """
    conn = db.conn
    tables = _tables(conn)
    if "row_digests" not in tables:
        return
    ours = (*DIGESTED, MIGRATIONS)
    kept: dict[str, set[str]] = {table: set() for table in ours if table in tables}
    for table, digest in conn.execute("SELECT of, digest FROM row_digests WHERE of <> ?", (NOTED,)):
        kept.setdefault(table, set()).add(digest)
    for table, left in kept.items():
        if table not in tables or table not in ours:
            yield ChainFault(
                None, f'the table "row_digests" names a table that is not there: {table}'
            )
            continue
        foreign = []
        for name, digest in _rows_of(conn, table):
            if digest in left:
                left.remove(digest)
            else:
                foreign.append(name)
        if foreign:
            more = f" and {len(foreign) - 1} more" if len(foreign) > 1 else ""
            yield ChainFault(
                None,
                f'in the table "{table}" a row was changed or added from outside:'
                f" {foreign[0]}{more}",
            )
        if len(left) > len(foreign):
            gone = len(left) - len(foreign)
            rows = "a row is gone that was" if gone == 1 else f"{gone} rows are gone that were"
            yield ChainFault(None, f'from the table "{table}" {rows} not deleted by the logbook')


def _rows_of(conn: sqlite3.Connection, table: str) -> Iterator[tuple[str, str]]:
    """Name, primary key and digest of each row."""
    columns = _columns(conn, table)
    raw = ", ".join(f"CAST({name} AS BLOB)" for name in columns)
    key = [columns.index(name) for name in _key(conn, table)]
    for fields in conn.execute(f"SELECT {raw} FROM {table}"):
        name = ", ".join((fields[place] or b"").decode(errors="replace")[:40] for place in key)
        yield name, row_digest(table, fields)


def _tables(conn: sqlite3.Connection) -> set[str]:
    return {name for (name,) in conn.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


def _columns(conn: sqlite3.Connection, table: str) -> list[str]:
    return [name for _, name, *_ in conn.execute(f"PRAGMA table_info({table})")]


def _key(conn: sqlite3.Connection, table: str) -> list[str]:
    found = conn.execute(f"PRAGMA table_info({table})").fetchall()
    return [name for _, name, _, _, _, place in sorted(found, key=lambda row: row[5]) if place]
