"""The data folder, for one account alone: logbook and recordings are about people, and the settings
hold a token.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

FOLDERS = ("recordings", "photos", "evidence", "clips", "spoken")
FILES = ("logbook.db*", "logbook.noted*", "*.toml", "link-keys.json*")
"""What the program makes in its data folder, or reads there; whatever else lies there is left as it
is.
"""
_OTHERS = 0o077


def private_home(home: Path) -> str | None:
    """Make the data folder where it is missing, for this account alone, and have this process make
    everything so.

    Returns a line about what others could read until now, and cannot any more; None where there was
    nothing.
    """
    if os.name != "posix":
        home.mkdir(parents=True, exist_ok=True)
        return None
    os.umask(_OTHERS)
    if not home.is_dir():
        home.mkdir(parents=True, exist_ok=True)
        return None
    tightened = 0
    left = list[Path]()
    for path in list(open_to_others(home)):
        try:
            path.chmod(stat.S_IMODE(path.lstat().st_mode) & ~_OTHERS)
            tightened += 1
        except OSError:
            left.append(path)
    lines = (
        [f"{home} could be read by others; now this account alone can ({tightened} changed)."]
        if tightened
        else []
    )
    lines += (
        [f"{left[0]} may be read by others. As its owner, run: chmod go= {left[0]}"] if left else []
    )
    return " ".join(lines) or None


def open_to_others(home: Path) -> Iterator[Path]:
    """What of the program's own others may read.

    A folder's content is looked at only where the folder was open.
    """
    for pattern in FILES:
        yield from (path for path in home.glob(pattern) if _is_open(path) and path.is_file())
    for name in FOLDERS:
        folder = home / name
        if folder.is_dir() and _is_open(folder):
            yield from (path for path in folder.iterdir() if _is_open(path) and path.is_file())
            yield folder
    if _is_open(home) and not _is_shared(home):
        yield home


def _is_open(path: Path) -> bool:
    mode = path.lstat().st_mode
    return not stat.S_ISLNK(mode) and bool(mode & _OTHERS)


def _is_shared(folder: Path) -> bool:
    """Whether a folder is more than the program's own: a home directory, or one that everybody
    writes into.
    """
    here = folder.resolve()
    return bool(here.stat().st_mode & stat.S_ISVTX) or here in (
        Path.home().resolve(),
        Path(here.anchor),
    )


def refuse_open_token(path: Path) -> str | None:
    """Why a file with a token is not to be used: others may read it. None where they may not.

    A file of another owner's may be read by a group: that is how root gives it to a service's
    account.
    """
    if os.name != "posix":
        return None
    found = path.stat()
    others = _OTHERS if found.st_uid == os.geteuid() else stat.S_IRWXO
    if not found.st_mode & others:
        return None
    return f"{path} holds the bot's token and may be read by others. Run: chmod 600 {path}"


def write_whole(path: Path, text: str) -> None:
    """Write a file of the data folder whole: a power cut leaves the old one."""
    private_home(path.parent)
    new = path.with_suffix(".new")
    with new.open("w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        # else the disk may have the new name before it has what is in it
        os.fsync(file.fileno())
    new.replace(path)
