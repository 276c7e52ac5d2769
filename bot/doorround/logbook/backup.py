"""Backup of a live logbook: complete, verified, consistent at one moment."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path

from doorround.logbook.chain import ChainFault, Head
from doorround.logbook.connection import Connection
from doorround.logbook.errors import LogbookError, in_plain_words
from doorround.logbook.file_checks import deleted_files
from doorround.logbook.noted_line import note_last, noted_faults
from doorround.logbook.opening import BUSY_SECONDS, reading, refuse_missing
from doorround.logbook.verification import against

FOLDERS = ("recordings", "photos", "evidence")
"""Content-addressed files: copied once and shared by all backups."""
FILES = ("*.toml", "link-keys.json")
_STAMP = "%Y-%m-%dT%H%M%SZ"


def back_up(home: Path, target: Path, now: datetime) -> tuple[Path, Head]:
    """Copy a data folder's logbook, settings, keys, recordings, photos and evidence into target.

    The logbook goes into a folder named after the time, and counts once its chain has been verified
    there. Files logged as deliberately deleted are deleted from target, too. Returns that folder
    and the last entry. Raises LogbookError and OSError.
    """
    refuse_missing(home / "logbook.db")
    _refuse_inside(home, target)
    place = target / now.astimezone(UTC).strftime(_STAMP)
    part = target / f".{place.name}.part"
    shutil.rmtree(part, ignore_errors=True)
    part.mkdir(parents=True, mode=0o700)
    # the logbook first: each recording is stored before the entry that names it
    _copy_logbook(home / "logbook.db", part / "logbook.db")
    for name in FOLDERS:
        _copy_new(home / name, target / name)
    for pattern in FILES:
        for path in home.glob(pattern):
            _copy(path, part / path.name)
    _refuse_cut(home / "logbook.db", target)
    head = _proved(part / "logbook.db", target)
    with reading(part / "logbook.db") as copy:
        note_last(copy, copied=True)
    part.rename(place)
    return place, head


def _refuse_inside(home: Path, target: Path) -> None:
    if target.resolve().is_relative_to(home.resolve()):
        raise LogbookError(
            f"{target} lies in the data folder and would be lost with it. Choose another disk."
        )


def last_backup(target: Path) -> datetime | None:
    """Start time of the last complete copy in a folder; None if there is none."""
    found = []
    for path in target.iterdir() if target.is_dir() else ():
        try:
            at = datetime.strptime(path.name, _STAMP).replace(tzinfo=UTC)
        except ValueError:
            continue
        if (path / "logbook.db").is_file():
            found.append(at)
    return max(found, default=None)


def backup_faults(logbook: Connection, target: Path) -> Iterator[ChainFault]:
    """Backups in a folder whose last entry no longer stands in the logbook; unreadable ones are
    skipped. If the logbook is itself one of them, only older ones are compared.
    """
    own = logbook.path.resolve().parent
    newest = own.name if own.parent == target.resolve() else None
    for path in sorted(target.iterdir()) if target.is_dir() else ():
        if newest and path.name > newest:
            break
        if (head := _last_of(path / "logbook.db")) and any(against(logbook._db, head)):
            yield ChainFault(
                head.seq,
                f"entry {head.seq} is not the last one of the backup {path.name}: what stood then"
                " was changed or cut off since, an older backup was put back, or that backup is of"
                " another logbook",
            )


def _last_of(copy: Path) -> Head | None:
    if not copy.is_file():
        return None
    with (
        suppress(sqlite3.Error),
        closing(sqlite3.connect(f"{copy.resolve().as_uri()}?mode=ro&immutable=1", uri=True)) as db,
    ):
        sql = "SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1"
        for seq, hash in db.execute(sql):
            return Head(seq, hash, seq)
    return None


def _copy_logbook(source: Path, copy: Path) -> None:
    with in_plain_words(source):
        uri = f"{source.resolve().as_uri()}?mode=ro"
        with (
            closing(sqlite3.connect(uri, uri=True, timeout=BUSY_SECONDS)) as live,
            closing(sqlite3.connect(copy)) as written,
        ):
            live.backup(written)
            # a single file, which can also be opened from a read-only disk
            written.execute("PRAGMA journal_mode = DELETE")
    copy.chmod(0o600)


def _refuse_cut(source: Path, target: Path) -> None:
    with reading(source) as logbook:
        for fault in (*noted_faults(logbook), *backup_faults(logbook, target)):
            raise LogbookError(
                f"The logbook is not as it was kept: {fault}. See: doorround logbook verify"
            )


def _proved(copy: Path, target: Path) -> Head:
    with reading(copy) as logbook:
        faults = logbook.verify()
        if faults:
            raise LogbookError(
                f"The logbook is damaged: {faults[0]}. See: doorround logbook verify"
            )
        for name in deleted_files(logbook):
            for path in (target / "recordings" / name, target / "photos" / f"{name}.jpg"):
                path.unlink(missing_ok=True)
        return logbook.head()


def _copy_new(source: Path, copy: Path) -> None:
    copy.mkdir(parents=True, exist_ok=True, mode=0o700)
    for path in _files(source):
        if not (copy / path.name).exists():
            _copy(path, copy / path.name)


def _files(folder: Path) -> Iterable[Path]:
    return [path for path in folder.iterdir() if path.is_file()] if folder.is_dir() else []


def _copy(source: Path, copy: Path) -> None:
    """Atomic copy: an aborted one leaves no file of that name."""
    part = copy.with_name(f".{copy.name}.part")
    shutil.copyfile(source, part)
    part.chmod(0o600)
    with part.open("rb") as written:
        os.fsync(written.fileno())
    part.replace(copy)
