"""Whether recordings, photos and files of evidence are there as they were kept: each is named after
its content.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
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
_DELETED = """SELECT hash.value FROM entries AS e, json_each(e.body, '$.deleted') AS hash
    WHERE e.kind IN ('recordings tidied', 'photos tidied')"""
_PIECE = 1 << 20


@dataclass(frozen=True)
class Folders:
    """Where the files of a logbook lie."""

    recordings: Path
    photos: Path
    evidence: Path


def deleted_files(logbook: Reader) -> set[str]:
    """Hashes of recordings and photos that were deleted on purpose, as entries say."""
    return {str(hash) for (hash,) in logbook._rows(_DELETED)}


def file_faults(logbook: Reader, folders: Folders) -> Iterator[ChainFault]:
    """Files that entries name and that are missing, though nobody deleted them as set; and files
    whose content is not what their name says, whether an entry names them or not.
    """
    deleted = deleted_files(logbook)
    known: set[Path] = set()
    named = (
        ("recording", _RECORDINGS, lambda hash: (folders.recordings / hash,)),
        ("photo", _PHOTOS, lambda hash: (folders.photos / f"{hash}.jpg",)),
        (
            "evidence",
            _EVIDENCE,
            lambda hash: (folders.evidence / hash, folders.photos / f"{hash}.jpg"),
        ),
    )
    for what, sql, places in named:
        for hash, seq in logbook._rows(sql):
            there = [path for path in places(hash) if path.is_file()]
            known.update(there)
            if not there and hash not in deleted:
                yield ChainFault(seq, f"the {what} {hash[:12]}… of entry {seq} is missing")
            for path in there:
                if not _as_named(path, hash):
                    yield ChainFault(
                        seq, f"the {what} {hash[:12]}… of entry {seq} is not as it was kept"
                    )
    for folder in (folders.recordings, folders.photos, folders.evidence):
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if (
                path not in known
                and HASH.fullmatch(path.stem)
                and path.is_file()
                and not _as_named(path, path.stem)
            ):
                yield ChainFault(None, f"{folder.name}/{path.name[:12]}… is not as it was kept")


def _as_named(path: Path, hash: str) -> bool:
    found = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while piece := file.read(_PIECE):
                found.update(piece)
    except OSError:
        return False
    return found.hexdigest() == hash
