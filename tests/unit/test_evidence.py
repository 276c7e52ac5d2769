"""Evidence given as a file: a picture says what it shows and nothing else; what is no file is not
swallowed.
"""

from __future__ import annotations

import hashlib
import io
import os
import sys
from pathlib import Path

import pytest
from PIL import Image
from test_photo_cleaning import HEIC, telephone

from doorround.channels.talk import evidence
from doorround.channels.talk.evidence import NoEvidence, keep_evidence

posix = pytest.mark.skipif(sys.platform == "win32", reason="devices and pipes of POSIX")


def file(folder: Path, name: str, content: bytes) -> Path:
    path = folder / name
    path.write_bytes(content)
    return path


@pytest.mark.parametrize(
    ("name", "raw"), [("door.jpg", telephone(6)), ("door", telephone()), ("door.heic", HEIC)]
)
def test_a_picture_is_drawn_anew_without_place_time_or_maker(tmp_path, name, raw):
    sha256, drawn = keep_evidence(tmp_path / "evidence", file(tmp_path, name, raw))
    kept = (tmp_path / "evidence" / sha256).read_bytes()
    assert drawn and hashlib.sha256(kept).hexdigest() == sha256
    assert b"Some Maker" in raw and b"Some Maker" not in kept
    with Image.open(io.BytesIO(kept)) as image:
        assert image.format == "JPEG" and not image.getexif()


def test_a_document_is_kept_as_it_is(tmp_path):
    sha256, drawn = keep_evidence(
        tmp_path / "evidence", file(tmp_path, "bill.pdf", b"%PDF-1.7 two seals")
    )
    assert not drawn and (tmp_path / "evidence" / sha256).read_bytes() == b"%PDF-1.7 two seals"


@posix
@pytest.mark.parametrize("path", ["/dev/zero", "/dev/null", "/"])
def test_what_is_no_file_is_refused(tmp_path, path):
    with pytest.raises(NoEvidence, match="is not a regular file"):
        keep_evidence(tmp_path / "evidence", Path(path))
    assert not (tmp_path / "evidence").exists()


@posix
def test_a_pipe_that_nobody_writes_into_is_refused_at_once(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(NoEvidence, match="is not a regular file"):
        keep_evidence(tmp_path / "evidence", tmp_path / "pipe")


def tiff() -> bytes:
    out = io.BytesIO()
    Image.new("RGB", (20, 20)).save(out, "TIFF")
    return out.getvalue()


@pytest.mark.parametrize(
    ("name", "raw", "why"),
    [
        ("door.jpg", telephone()[:-600], "damaged or too large"),
        ("door.dat", tiff(), "may say where it was made"),
        ("film.mp4", b"\x00\x00\x00\x18ftypmp42" + bytes(100), "may say where it was made"),
        ("door.svg", b"<svg/>", "may say where it was made"),
        ("empty.pdf", b"", "is empty"),
        ("big.pdf", b"%PDF" + bytes(2000), "MB. Give a smaller one"),
    ],
)
def test_what_cannot_be_kept_says_what_to_give(tmp_path, monkeypatch, name, raw, why):
    if name.startswith("big"):
        monkeypatch.setattr(evidence, "MAX_BYTES", 1000)
    with pytest.raises(NoEvidence, match=why):
        keep_evidence(tmp_path / "evidence", file(tmp_path, name, raw))
    assert not (tmp_path / "evidence").exists()


def test_what_is_not_there_is_told(tmp_path):
    with pytest.raises(NoEvidence, match="cannot be read: No such file"):
        keep_evidence(tmp_path / "evidence", tmp_path / "none.jpg")
