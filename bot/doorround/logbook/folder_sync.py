"""fsync for directories, so that a power cut does not undo a rename."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Sync a folder's entries to disk.

    Not every system can open folders; there the names follow later.
    """
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
