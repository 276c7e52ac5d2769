"""Opening a logbook's file: made where there is none, brought up to date, switched to a write-ahead log."""

from __future__ import annotations

import sqlite3
import time
from pathlib import Path
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from bot.logbook.errors import LogbookError
from bot.logbook.schema import OLDEST_SQLITE, migrate

# a writer waits this long for another to finish its turn
BUSY_SECONDS = 10.0
_PAUSE_SECONDS = 0.02


def known_zone(zone: str) -> None:
    """Raises LogbookError for a name that is no time zone."""
    try:
        ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise LogbookError(f'"{zone}" is not a time zone. Use a name such as "Europe/London".') from error


def connected(path: Path) -> Database:
    """A connection to a logbook, made or brought up to date. Raises LogbookError and sqlite3.Error."""
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise LogbookError(f"SQLite {sqlite3.sqlite_version} is too old to keep {path}. Use {oldest} or later.")
    conn = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)
    try:
        db = Database(conn, recursive_triggers=True, execute_plugins=False)
        conn.execute("PRAGMA foreign_keys = ON")
        conn.execute("PRAGMA synchronous = FULL")
        migrate(db, path)
        _write_ahead(conn)
    except BaseException:
        conn.close()
        raise
    return db


def _write_ahead(conn: sqlite3.Connection) -> None:
    """Switch the file to a write-ahead log. SQLite does not wait here when another opener is doing the same."""
    for _ in range(round(BUSY_SECONDS / _PAUSE_SECONDS)):
        try:
            conn.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                raise
            time.sleep(_PAUSE_SECONDS)
    conn.execute("PRAGMA journal_mode = WAL")
