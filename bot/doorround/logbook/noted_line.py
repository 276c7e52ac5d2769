"""The noted line of the last entry, in a file beside the logbook: number, hash, time.

The chain alone cannot detect truncation, a rebuild or replacement by an older copy; this line does,
unless it was altered as well. The only protection against that is a line noted elsewhere. The line
follows the last entry as long as the entry it names still stands. Otherwise the line stays and the
next is written below it.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import TextIO

from doorround.logbook.chain import NO_HASH, ChainFault, Head
from doorround.logbook.connection import Connection
from doorround.logbook.errors import LogbookError, in_plain_words
from doorround.logbook.folder_sync import sync_folder
from doorround.logbook.row_digests import NOTED
from doorround.logbook.verification import against

_LINE = re.compile(r" *(\d{1,18}) ([0-9a-f]{64}) (\S{20,32})")
_GONE = b"the line before was gone\n"
_WHY = (
    "The end was cut off, the logbook was written anew, its file logbook.db-wal was lost, a power"
    " cut took what the disk had reported as written, or an older copy was put in this place, as"
    " when a backup is put back"
)


def noted_file(logbook: Path) -> Path:
    """Path of the noted line of a logbook."""
    return logbook.with_suffix(".noted")


def note_last(logbook: Connection, *, copied: bool = False) -> None:
    """Note the last entry, after the commit. A write failure is ignored: a line that lags behind is
    still correct. copied: beside a copy that has none yet.
    """
    with suppress(OSError, LogbookError):
        rows = logbook._rows(
            "SELECT seq, hash, at FROM entries WHERE seq = (SELECT max(seq) FROM entries)"
        )
        if rows:
            seq, hash, at = rows[0]
            # fixed length, so that an overwritten line is never a mix of two
            line = f"{seq:>18} {hash} {at}\n".encode()
            if noted_file(logbook.path).exists():
                _follow(logbook, Head(seq, hash, seq), line)
            else:
                _begin(logbook, line, gone=not copied and _was_noted(logbook))


def begin_note(logbook: Connection) -> None:
    """Note the last entry of a logbook from before lines were noted; record in it that one is
    noted, if a power cut came between the two.
    """
    if _was_noted(logbook):
        return
    if is_noted(logbook.path):
        with suppress(LogbookError):
            _mark(logbook)
    else:
        note_last(logbook)


def _begin(logbook: Connection, line: bytes, gone: bool) -> None:
    path = noted_file(logbook.path)
    part = path.with_name(f"{path.name}.part")
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "wb") as file:
        file.write(_GONE + line if gone else line)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
    sync_folder(path.parent)
    # in this order, a power cut never leaves the mark without the file
    _mark(logbook)


def _mark(logbook: Connection) -> None:
    """Record in the logbook that a line is noted beside it."""
    logbook._rows(f"INSERT OR IGNORE INTO row_digests (of, digest) VALUES ('{NOTED}', '{NO_HASH}')")


def _follow(logbook: Connection, last: Head, line: bytes) -> None:
    path = noted_file(logbook.path)
    with path.open("r+b", buffering=0) as file:
        there = file.read()
        start = there.rfind(b"\n", 0, -1) + 1
        before = _read(there[start:].decode(errors="replace").rstrip("\n"))
        stands = before is not None and not _missing(logbook, before[0])
        if stands and before is not None and before[0].seq > last.seq:
            return  # another process has noted a later one meanwhile
        file.seek(start if stands else len(there))
        file.write(line if stands or there.endswith(b"\n") or not there else b"\n" + line)


def noted_faults(logbook: Connection, elsewhere: Head | None = None) -> Iterator[ChainFault]:
    """Noted lines whose entry no longer stands, and unreadable ones; empty if there is no file, as
    beside a copy. elsewhere: a line noted there, compared first.
    """
    if elsewhere:
        with in_plain_words(logbook.path):
            yield from against(logbook._db, elsewhere)
    path = noted_file(logbook.path)
    if not is_noted(logbook.path):
        return
    try:
        lines = path.read_text(encoding="utf-8", errors="replace").splitlines() or [""]
    except OSError as error:
        yield ChainFault(
            None, f"{path.name}, where the last entry is noted, cannot be read: {error}"
        )
        return
    for number, line in enumerate(lines, 1):
        noted = _read(line)
        if f"{line}\n".encode() == _GONE:
            yield ChainFault(
                None,
                f"{path.name}, where the last entry is noted, was gone and was begun anew: whether"
                f" anything was cut off before is not shown (line {number})",
            )
        elif noted is None:
            yield ChainFault(
                None, f"{path.name}, where the last entry is noted, was altered: line {number}"
            )
        else:
            yield from _held_against(logbook, *noted)


def _held_against(logbook: Connection, noted: Head, at: str) -> Iterator[ChainFault]:
    name = noted_file(logbook.path).name
    try:
        said = _missing(logbook, noted)
    except LogbookError:
        yield ChainFault(
            None, f"the file cannot be read to its end, nor whether what {name} says stands in it"
        )
    else:
        if said:
            yield ChainFault(
                noted.seq, f"{said}; it was noted in {name} as entered at {at}. {_WHY}"
            )


def note_gone(logbook: Connection) -> Iterator[ChainFault]:
    """A fault if a line was once noted beside the logbook but the file is missing."""
    if _was_noted(logbook) and not is_noted(logbook.path):
        yield ChainFault(
            None,
            f"{noted_file(logbook.path).name}, where the last entry is noted, is gone, so nothing"
            " here shows that the end was not cut off. A copy of logbook.db alone lacks it: then"
            " give --entries-only",
        )


def _was_noted(logbook: Connection) -> bool:
    try:
        return bool(logbook._rows(f"SELECT 1 FROM row_digests WHERE of = '{NOTED}'"))
    except LogbookError:
        return False


def tell_noted(logbook: Connection, stream: TextIO) -> None:
    """Write a line to a stream for each of noted_faults(), for whoever opens the logbook."""
    for fault in noted_faults(logbook):
        stream.write(f"doorround: {fault}. See: doorround logbook verify\n")


def is_noted(logbook: Path) -> bool:
    """Whether a line is noted beside a logbook."""
    return noted_file(logbook).exists() or noted_file(logbook).is_symlink()


def _read(line: str) -> tuple[Head, str] | None:
    found = _LINE.fullmatch(line)
    return (Head(int(found[1]), found[2], int(found[1])), found[3]) if found else None


def _missing(logbook: Connection, noted: Head) -> str | None:
    """What is wrong with the noted entry; None if it stands."""
    rows = logbook._rows("SELECT CAST(hash AS BLOB) FROM entries WHERE seq = ?", noted.seq)
    if rows == [(noted.hash.encode(),)]:
        return None
    if rows:
        return f"entry {noted.seq} is not the one that stood here"
    [(last,)] = logbook._rows("SELECT coalesce(max(seq), 0) FROM entries")
    return f"entry {noted.seq} stood here and is gone; the last is now entry {last}"
