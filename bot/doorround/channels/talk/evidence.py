"""Evidence of a defect from a file: a supported picture is re-encoded like a phone photo, anything
else is stored unchanged.
"""

from __future__ import annotations

import hashlib
import mimetypes
import os
import stat
from pathlib import Path

from doorround.channels.talk.blob_store import keep_file
from doorround.channels.talk.photo_cleaning import BadPicture
from doorround.channels.talk.photo_process import draw_now
from doorround.messages import photos

MAX_BYTES = 20_000_000
"""Same limit as for a photo from the messenger."""
_PICTURES = (b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+", b"\x00\x00\x00\x0cjP  ", b"8BPS")
"""Magic bytes of unsupported image formats: TIFF and phones' raw formats, JPEG 2000, layered
formats.
"""


class NoEvidence(ValueError):
    """A file cannot be stored as evidence. Says why and what to give instead."""


def keep_evidence(folder: Path, file: Path) -> tuple[str, bool]:
    """Store a file.

    Returns the SHA-256 it is stored under, and whether it was re-encoded. Raises NoEvidence.
    """
    content = _read(file)
    try:
        kept = draw_now(content)
        drawn = True
    except BadPicture as bad:
        if str(bad) != photos.UNREADABLE:
            raise NoEvidence(
                f"{file} is a picture that is damaged or too large. Give another."
            ) from bad
        if _may_say_where(file, content):
            raise NoEvidence(
                f"{file} may say where it was made and cannot be drawn anew. Give a JPEG."
            ) from bad
        kept = content
        drawn = False
    name = hashlib.sha256(kept).hexdigest()
    keep_file(folder, name, kept)
    return name, drawn


def _read(file: Path) -> bytes:
    try:
        # avoid blocking on a named pipe
        handle = os.open(
            file, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        )
    except OSError as error:
        raise NoEvidence(f"{file} cannot be read: {error.strerror}.") from error
    if not stat.S_ISREG(os.fstat(handle).st_mode):
        os.close(handle)
        raise NoEvidence(f"{file} is not a regular file. Give a photo or a document.")
    with os.fdopen(handle, "rb") as opened:
        content = opened.read(MAX_BYTES + 1)
    if len(content) > MAX_BYTES:
        raise NoEvidence(f"{file} has more than {MAX_BYTES // 1_000_000} MB. Give a smaller one.")
    if not content:
        raise NoEvidence(f"{file} is empty. Give a photo or a document.")
    return content


def _may_say_where(file: Path, content: bytes) -> bool:
    """Whether it is a picture or video in another format, which may contain its location."""
    kind = (mimetypes.guess_type(file.name)[0] or "").partition("/")[0]
    return kind in ("image", "video") or content.startswith(_PICTURES) or content[4:8] == b"ftyp"
