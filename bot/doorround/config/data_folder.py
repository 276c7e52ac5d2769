"""The data folder, accessible to one account only: logbook and recordings are personal data, and
the settings contain a token.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from pathlib import Path

FOLDERS = ("recordings", "photos", "evidence", "clips", "spoken")
FILES = ("logbook.db*", "logbook.noted*", "*.toml", "link-keys.json*")
"""Files that the program creates or reads in its data folder; any others there are left alone."""
_OTHERS = 0o077


def private_home(home: Path) -> str | None:
    """Create the data folder if missing, for this account only, and set this process's umask
    accordingly.

    Returns a line about access that others had until now; None if they had none.
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
        [f"{home} was readable by others; now only this account can read it ({tightened} changed)."]
        if tightened
        else []
    )
    lines += (
        [f"{left[0]} is readable by others. As its owner, run: chmod go= {left[0]}"] if left else []
    )
    return " ".join(lines) or None


def open_to_others(home: Path) -> Iterator[Path]:
    """The program's own files readable by others.

    A folder's contents are checked only if the folder is accessible.
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
    """Whether a folder is shared with other things: a home directory, or one that everybody can
    write to.
    """
    here = folder.resolve()
    return bool(here.stat().st_mode & stat.S_ISVTX) or here in (
        Path.home().resolve(),
        Path(here.anchor),
    )


def refuse_open_token(path: Path) -> str | None:
    """Why a file with a token must not be used: others may read it. None if they may not.

    A file owned by another account may be group-readable: that is how root grants it to a service
    account.
    """
    if os.name != "posix":
        return None
    found = path.stat()
    others = _OTHERS if found.st_uid == os.geteuid() else stat.S_IRWXO
    if not found.st_mode & others:
        return None
    return f"{path} contains the bot's token and is readable by others. Run: chmod 600 {path}"


def write_whole(path: Path, text: str) -> None:
    """Write a file in the data folder atomically: a power cut leaves the old one."""
    private_home(path.parent)
    new = path.with_suffix(".new")
    with new.open("w", encoding="utf-8") as file:
        file.write(text)
        file.flush()
        # otherwise the rename may reach the disk before the content
        os.fsync(file.fileno())
    new.replace(path)
