"""Content-addressed storage for files people send: atomic and durable, even through a power cut."""

from __future__ import annotations

import os
from pathlib import Path

from doorround.logbook.folder_sync import sync_folder


def keep_file(folder: Path, name: str, content: bytes) -> Path:
    """Store a file under its content-derived name, and wait for fsync. Creates the folder if
    missing; an existing file is left as it is. Both are readable by this account only.
    """
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    path = folder / name
    if path.exists():
        return path
    part = path.with_suffix(".part")
    part.unlink(missing_ok=True)
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT, 0o600), "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    part.replace(path)
    sync_folder(folder)
    return path
