"""Test logbooks start as a copy of one that was migrated once: 6 ms instead of 60. Their writes are
not synced to disk: no test simulates a power cut of the machine.

Modules marked `migrates`, and every program that a test starts, run the migrations and sync to
disk.
"""

from __future__ import annotations

import sqlite3
from functools import lru_cache
from pathlib import Path
from threading import Lock

from sqlite_utils import Database

from doorround.logbook import opening
from doorround.logbook.schema import migrate

_lock = Lock()
_opened: list[Database] = []


@lru_cache(maxsize=1)
def _template() -> sqlite3.Connection:
    conn = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
    migrate(
        Database(conn, recursive_triggers=True, execute_plugins=False), Path("logbook of the tests")
    )
    return conn


def copy_or_migrate(db: Database, path: Path) -> None:
    """Like `migrate`, but an empty file is filled by copying."""
    _opened.append(db)
    db.conn.execute("PRAGMA synchronous = OFF")
    if db.conn.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
        migrate(db, path)
        return
    with _lock:
        _template().backup(db.conn)


def begin_as_copies(copies: bool = True) -> None:
    """Set whether logbooks in this process start as copies from now on."""
    vars(opening)["migrate"] = copy_or_migrate if copies else migrate


def forget_opened() -> None:
    """Ignore logbooks opened so far: they are shared by several tests."""
    _opened.clear()


def left_open() -> int:
    """Close logbooks opened since then that nobody closed, and return their number. Python 3.13
    warns about each, in whichever test it happens to be collected.
    """
    left = [db for db in _opened if _is_open(db)]
    for db in left:
        db.close()
    _opened.clear()
    return len(left)


def _is_open(db: Database) -> bool:
    try:
        return db.conn.total_changes >= 0
    except sqlite3.ProgrammingError:  # closed, or of another thread
        return False
