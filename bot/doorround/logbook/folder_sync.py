"""Having the disk keep the names in a folder, so that a power cut does not undo a renaming."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def sync_folder(folder: Path) -> None:
    """Have the disk keep a folder's names too.

    Not every system opens folders; there the names follow later.
    """
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
