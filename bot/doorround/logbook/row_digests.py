"""A digest beside each row of the tables that stand outside the chain of entries: where talks
stand, messages in and out, who is joining, checklists.

Triggers keep them, in the transaction of the change, through a function that a connection is given
by `give_digests`. So a program that knows nothing of it is refused, and a row that was changed
behind the logbook's back has no digest any more. The digest that it had stays, and goes on saying
so whatever is written later. Like the chain, this does not show what somebody did who made every
digest anew.
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
"""The tables, by name. What `visits`, `door_status` and `door_names` hold is proved by entries."""
MIGRATIONS = "_sqlite_migrations"
NOTED = "logbook.noted"
"""Not a table: says that the last entry is noted beside the logbook."""


def give_digests(conn: sqlite3.Connection) -> None:
    """Give a connection the function that the triggers call."""
    # what some builds of SQLite have off: functions of the program in triggers
    conn.execute("PRAGMA trusted_schema = ON")
    conn.create_function("row_digest", -1, _digest, deterministic=True)


def _digest(table: str, *fields: Field) -> str:
    return row_digest(table, fields)


def digest_rows(db: Database, table: str) -> None:
    """Digest what is in a table, and everything written to it from now on. Once more for a table
    that was given another column.
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
    """Digest which migrations were done, where the layout has digests. Without triggers: only
    migrate() writes there.
    """
    if "row_digests" in _tables(conn):
        columns = ", ".join(_columns(conn, MIGRATIONS))
        conn.execute(
            f"INSERT OR IGNORE INTO row_digests (of, digest) SELECT '{MIGRATIONS}',"
            f" row_digest('{MIGRATIONS}', {columns}) FROM {MIGRATIONS}"
        )


def row_faults(db: Database) -> Iterator[ChainFault]:
    """Rows that are not as the logbook wrote them, and how many of those it wrote are there no
    more. Nothing for a logbook of before there were digests.
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
    """Of each row what it is called, its primary key, and its digest."""
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
