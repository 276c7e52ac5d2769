"""A file lock that limits a data folder to one process; it is released when the process ends,
however that happens.
"""

from __future__ import annotations

import hashlib
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from doorround.config.data_folder import private_home

_FAR = 2**30
"""Windows locks byte ranges, which others cannot read then: use one far beyond the content."""


class NotAlone(ValueError):
    """Another process holds the lock. Says which and what to do."""


@contextmanager
def only_service(home: Path) -> Iterator[None]:
    """Lock the data folder for one service. Raises NotAlone."""
    line = (
        "Another doorround serve{who} runs on this data folder, {home}. Stop that one first; it"
        " goes on as it was."
    )
    with _alone(home, "serve.lock", line.replace("{home}", str(home))):
        yield


@contextmanager
def only_chat(home: Path, person: str) -> Iterator[None]:
    """Lock one person's talk in the terminal. Raises NotAlone."""
    name = f"chat-{hashlib.sha256(person.encode()).hexdigest()[:16]}.lock"
    line = (
        "{person} checks doors in another terminal{who}. End that one with Ctrl-D, or give another"
        " --person."
    )
    with _alone(home, name, line.replace("{person}", person)):
        yield


@contextmanager
def _alone(folder: Path, name: str, line: str) -> Iterator[None]:
    if not folder.is_dir():
        private_home(folder)
    handle = os.open(folder / name, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        if not _lock(handle):
            who = os.read(handle, 20).decode("ascii", "replace").strip()
            raise NotAlone(line.replace("{who}", f" (process {who})" if who.isdecimal() else ""))
        os.ftruncate(handle, 0)
        os.write(handle, f"{os.getpid()}\n".encode())
        yield
    finally:
        # the file stays: if it were deleted, two processes could each hold a lock of that name
        os.close(handle)


if sys.platform == "win32":
    import msvcrt

    def _lock(handle: int) -> bool:
        """Lock a file; returns whether it succeeded."""
        os.lseek(handle, _FAR, os.SEEK_SET)
        try:
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        finally:
            os.lseek(handle, 0, os.SEEK_SET)
        return True

else:
    import fcntl

    def _lock(handle: int) -> bool:
        """Lock a file; returns whether it succeeded.

        On a file system without locks it counts as successful.
        """
        try:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        except OSError:
            return True
        return True
