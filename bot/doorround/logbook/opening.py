"""Opens a logbook file: created if missing, migrated, in WAL mode; or read-only."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager, suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from sqlite_utils import Database

from doorround.logbook.errors import LogbookError, in_plain_words
from doorround.logbook.reader import Reader
from doorround.logbook.row_digests import give_digests
from doorround.logbook.schema import OLDEST_SQLITE, is_behind, migrate

# busy timeout: how long a writer waits for another
BUSY_SECONDS = 10.0
_PAUSE_SECONDS = 0.02


def known_zone(zone: str) -> None:
    """Raises LogbookError for a name that is not a time zone."""
    try:
        ZoneInfo(zone)
    except (KeyError, ValueError, OSError) as error:
        raise LogbookError(
            f'"{zone}" is not a time zone. Use a name such as "Europe/London".'
        ) from error


def connected(path: Path) -> Database:
    """A connection to a logbook, created or migrated.

    Raises LogbookError and sqlite3.Error.
    """
    if sqlite3.sqlite_version_info < OLDEST_SQLITE:
        oldest = ".".join(map(str, OLDEST_SQLITE))
        raise LogbookError(
            f"SQLite {sqlite3.sqlite_version} is too old to keep {path}. Use {oldest} or later."
        )
    with suppress(OSError):
        # owner-only, whatever the umask; SQLite gives its companion files the same permissions
        os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))
    conn = sqlite3.connect(path, timeout=BUSY_SECONDS, isolation_level=None)
    try:
        db = Database(conn, recursive_triggers=True, execute_plugins=False)
        conn.execute("PRAGMA foreign_keys = ON")
        conn.execute("PRAGMA synchronous = FULL")
        conn.execute("PRAGMA secure_delete = ON")  # deleted data is overwritten in the file, too
        give_digests(conn)
        migrate(db, path)
        _write_ahead(conn)
    except BaseException:
        conn.close()
        raise
    return db


def _write_ahead(conn: sqlite3.Connection) -> None:
    """Switch the file to WAL mode.

    SQLite's busy timeout does not apply here if another opener is doing the same.
    """
    for _ in range(round(BUSY_SECONDS / _PAUSE_SECONDS)):
        try:
            conn.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if error.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                raise
            time.sleep(_PAUSE_SECONDS)
    conn.execute("PRAGMA journal_mode = WAL")


@contextmanager
def reading(path: Path, zone: str = "UTC") -> Iterator[Reader]:
    """Open a logbook read-only, such as a copy on a read-only disk. Creates and changes nothing
    beside it.

    Raises LogbookError if there is no file, and as Logbook.open() does.
    """
    refuse_missing(path)
    with in_plain_words(path), ExitStack() as stack:
        conn = stack.enter_context(
            closing(sqlite3.connect(_uri(path), uri=True, timeout=BUSY_SECONDS))
        )
        db = Database(conn, execute_plugins=False)
        if _wants_a_copy(db, path):
            folder = Path(stack.enter_context(TemporaryDirectory()))
            for name in (path.name, f"{path.name}-wal"):
                if path.with_name(name).exists():
                    shutil.copyfile(path.with_name(name), folder / name)
            db = connected(folder / path.name)
            stack.callback(db.close)
        yield Reader(db, path, zone)


def refuse_missing(path: Path) -> None:
    """Raises LogbookError if there is no file: reading must not create a logbook in a mistyped
    folder.
    """
    if not path.is_file():
        raise LogbookError(
            f"There is no logbook at {path}, and none was made. Is DOORROUND_HOME right? "
            "A new logbook begins with its first door: doorround doors add."
        )


def _uri(path: Path) -> str:
    return f"{path.resolve().as_uri()}?mode=ro"


def _wants_a_copy(db: Database, path: Path) -> bool:
    """Whether it cannot be read in place: its write-ahead log needs a writable folder, or it is of
    an earlier version.
    """
    try:
        return is_behind(db, path)
    except sqlite3.OperationalError as error:
        if error.sqlite_errorcode & 0xFF in (sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY):
            return True
        raise
