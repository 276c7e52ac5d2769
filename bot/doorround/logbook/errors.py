"""Logbook errors, each with a message that a person can act on."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class LogbookError(Exception):
    """The logbook could not do what was asked.

    The message names the file or object, and what to do.
    """


class DoorExistsError(LogbookError):
    """The register already has a door of that number."""


class PersonExistsError(LogbookError):
    """A person of that name already exists."""


class UnknownPersonError(LogbookError, LookupError):
    """There is no person of that name."""


class UnknownDoorError(LogbookError, LookupError):
    """No door, or more than one, has that number."""


class UnknownCheckError(LogbookError, LookupError):
    """No check of that id has started."""


class NewerLogbookError(LogbookError):
    """The file was written by a later version of doorround."""


class StorageError(LogbookError):
    """The file cannot be read or written. Nobody on a messenger can fix that."""


class OtherThreadError(LogbookError):
    """A Logbook was used outside the thread that opened it."""


_ADVICE = {
    sqlite3.SQLITE_NOTADB: (
        "is not a logbook. Give the path of a logbook, or of a file that does not exist yet"
    ),
    sqlite3.SQLITE_READONLY: (
        "cannot be written. Give this account the right to write the file and its folder"
    ),
    sqlite3.SQLITE_CANTOPEN: (
        "cannot be opened. See that its folder exists and that this account may write there"
    ),
    sqlite3.SQLITE_FULL: (
        "cannot grow, the disk is full. Make room and try again; everything kept so far is safe"
    ),
    sqlite3.SQLITE_IOERR: (
        "cannot be read or written, the disk reports an error. See that it is there and has room"
    ),
    sqlite3.SQLITE_BUSY: "is being written by another program. Close that program or try again",
    sqlite3.SQLITE_LOCKED: "is being written by another program. Close that program or try again",
    sqlite3.SQLITE_CORRUPT: (
        "is damaged. Keep a copy of it as it is, and put the last good backup in its place"
    ),
}


@contextmanager
def in_plain_words(path: Path) -> Iterator[None]:
    """Turn SQLite's errors into a StorageError naming the file and what to do."""
    try:
        yield
    except sqlite3.Error as error:
        # the low byte is the primary code; extended codes only refine it
        code = getattr(error, "sqlite_errorcode", 0) & 0xFF
        raise StorageError(f"{path} {_ADVICE.get(code, 'refused')} ({error}).") from error


_NO_ROOM = frozenset((errno.ENOSPC, getattr(errno, "EDQUOT", errno.ENOSPC)))
_FILE_ERRORS = _NO_ROOM | {errno.EROFS, errno.EIO}
# any other SQLite error is a bug of ours that retrying will not fix
_DISK_ERRORS = frozenset(
    (
        sqlite3.SQLITE_FULL,
        sqlite3.SQLITE_BUSY,
        sqlite3.SQLITE_LOCKED,
        sqlite3.SQLITE_READONLY,
        sqlite3.SQLITE_CANTOPEN,
        sqlite3.SQLITE_IOERR,
        sqlite3.SQLITE_CORRUPT,
    )
)


def is_unwritten(error: BaseException) -> bool:
    """Whether the failure was only in writing, so that a retry may succeed."""
    return (
        error.errno in _FILE_ERRORS if isinstance(error, OSError) else _code(error) in _DISK_ERRORS
    )


def is_full(error: BaseException) -> bool:
    """Whether it failed because the disk is full."""
    return (
        error.errno in _NO_ROOM
        if isinstance(error, OSError)
        else _code(error) == sqlite3.SQLITE_FULL
    )


def _code(error: BaseException) -> int:
    """SQLite's primary code; 0 if it is not an SQLite error."""
    inner = error.__cause__ if isinstance(error, StorageError) else error
    return getattr(inner, "sqlite_errorcode", 0) & 0xFF
