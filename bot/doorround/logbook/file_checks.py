"""Integrity of recordings, photos and evidence files: each is named after its content hash."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path

from doorround.logbook.chain import ChainFault
from doorround.logbook.reader import Reader
from doorround.logbook.recordings import HASH

_RECORDINGS = """SELECT tree.value, min(e.seq) FROM entries AS e, json_tree(e.body) AS tree
    WHERE tree.key = 'audio_sha256' AND tree.type = 'text' GROUP BY tree.value ORDER BY 2"""
_PHOTOS = """SELECT json_extract(body, '$.photo_sha256'), min(seq) FROM entries
    WHERE kind = 'photographed'
    GROUP BY 1 ORDER BY 2"""
_EVIDENCE = """SELECT json_extract(body, '$.evidence'), min(seq) FROM entries
    WHERE kind IN ('defect made good', 'defect noted', 'temporary measure', 'defect assigned')
        AND json_extract(body, '$.evidence') IS NOT NULL GROUP BY 1 ORDER BY 2"""
_SENT = """SELECT audio_sha256, NULL FROM recordings_sent WHERE audio_sha256 NOT IN (
        SELECT tree.value FROM entries AS e, json_tree(e.body) AS tree
        WHERE tree.key = 'audio_sha256' AND tree.type = 'text'
    ) GROUP BY 1 ORDER BY 1"""
_DELETED = """SELECT hash.value FROM entries AS e, json_each(e.body, '$.deleted') AS hash
    WHERE e.kind IN ('recordings tidied', 'photos tidied')"""
_PART = re.compile(rf"{HASH.pattern}\.part")
"""Leftovers of a file being stored at a power cut."""
_BY_ITSELF = ("Thumbs.db", "desktop.ini")
"""Files that Windows creates when browsing a folder."""
_PIECE = 1 << 20


@dataclass(frozen=True)
class Folders:
    """Where a logbook's files are stored."""

    recordings: Path
    photos: Path
    evidence: Path


def deleted_files(logbook: Reader) -> set[str]:
    """Hashes of recordings and photos deliberately deleted, according to entries."""
    return {str(hash) for (hash,) in logbook._rows(_DELETED)}


def file_faults(logbook: Reader, folders: Folders) -> Iterator[ChainFault]:
    """Files named in the logbook but missing without a deletion entry; files whose content does not
    match their name; and foreign files.
    """
    yield from _beside(logbook)
    deleted = deleted_files(logbook)
    known: set[Path] = set()
    for what, sql, places in _named_files(folders):
        for hash, seq in logbook._rows(sql):
            called = f"the {what} {hash[:12]}…" + (f" of entry {seq}" if seq else "")
            there = [path for path in places(hash) if path.is_symlink() or path.exists()]
            known.update(there)
            if not there and hash not in deleted and hash not in deleted_files(logbook):
                # second look: it may have been deleted by the retention rule meanwhile
                yield ChainFault(seq, f"{called} is missing")
            for path in there:
                if fault := _fault_of(path, hash):
                    yield ChainFault(seq, f"{called} {fault}")
    for folder in (folders.recordings, folders.photos, folders.evidence):
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if path not in known and (fault := _stray(path)):
                yield ChainFault(None, f"{folder.name}/{path.name[:16]}… {fault}")


def _beside(reader: Reader) -> Iterator[ChainFault]:
    """A rollback journal beside a logbook in WAL mode; data appended after the end of the file."""
    logbook = reader.path
    size, log = logbook.stat().st_size, logbook.with_name(f"{logbook.name}-wal")
    [(whole,)] = reader._rows(
        "SELECT page_count * page_size FROM pragma_page_count, pragma_page_size"
    )
    if size > whole and not (log.exists() and log.stat().st_size):
        yield ChainFault(None, f"{size - whole} bytes hang on behind the end of {logbook.name}")
    journal = logbook.with_name(f"{logbook.name}-journal")
    if journal.exists() and journal.stat().st_size:
        yield ChainFault(
            None,
            f"{journal.name} lies beside the logbook, by which SQLite would undo changes. A power"
            " cut at the very first start leaves one; otherwise somebody put it there",
        )


def _named_files(
    folders: Folders,
) -> tuple[tuple[str, str, Callable[[str], tuple[Path, ...]]], ...]:
    """Each kind of file: its name in messages, where the logbook refers to it, and where it may be
    stored.
    """
    return (
        ("recording", _RECORDINGS, lambda hash: (folders.recordings / hash,)),
        ("recording", _SENT, lambda hash: (folders.recordings / hash,)),
        ("photo", _PHOTOS, lambda hash: (folders.photos / f"{hash}.jpg",)),
        (
            "evidence",
            _EVIDENCE,
            lambda hash: (folders.evidence / hash, folders.photos / f"{hash}.jpg"),
        ),
    )


def _stray(path: Path) -> str | None:
    """A fault in a file that the logbook does not name: not understood when sent, or stored just
    before a power cut.
    """
    if path.name.startswith(".") or path.name in _BY_ITSELF or _PART.fullmatch(path.name):
        return None
    if not HASH.fullmatch(path.name.removesuffix(".jpg")):
        return "is none of the logbook's files"
    return _fault_of(path, path.stem)


def _fault_of(path: Path, hash: str) -> str | None:
    if path.is_symlink():
        return "is a link to another place, not the file itself"
    if not path.is_file() or not _as_named(path, hash):
        return "is not as it was kept"
    return None


def _as_named(path: Path, hash: str) -> bool:
    found = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(_PIECE):
                found.update(piece)
    except OSError:
        return False
    return found.hexdigest() == hash
