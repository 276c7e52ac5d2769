"""Door-link keys, in a file that only its owner may read: created when a link is first needed."""

from __future__ import annotations

import json
import os
import secrets
import string
from collections.abc import Callable
from functools import partial
from pathlib import Path

from doorround.config.sources import SettingsError
from doorround.domain.links import LinkKey

FILE = "link-keys.json"


def load_keys(home: Path) -> list[LinkKey]:
    """The keys, the signing key first; the first is created if there is none. Raises SettingsError
    for an unreadable file, or one that others may read.
    """
    path = home / FILE
    if not path.exists():
        _write_first(path, [LinkKey("a", secrets.token_bytes(32))])
    if os.name == "posix" and path.stat().st_mode & 0o077:
        raise SettingsError(f"{path} is readable by others. Run: chmod 600 {path}")
    try:
        kept = [
            LinkKey(key["id"], bytes.fromhex(key["secret"]), key["ended"])
            for key in json.loads(path.read_text())
        ]
    except (ValueError, KeyError, TypeError) as error:
        raise SettingsError(
            f"{path} is damaged. Restore a backup, or every label will have to be replaced."
        ) from error
    if not kept or any(len(key.secret) != 32 for key in kept):
        raise SettingsError(
            f"{path} is damaged. Restore a backup, or every label will have to be replaced."
        )
    return kept


def live_keys(home: Path) -> Callable[[], list[LinkKey]]:
    """A function that returns the current keys on every call, so that a running bot picks up new
    ones. Creates or rejects the keys now: raises SettingsError.
    """
    load_keys(home)
    return partial(load_keys, home)


def renew_keys(home: Path, end_old: bool = False) -> list[LinkKey]:
    """Create a new signing key. end_old: revoke links of earlier keys.

    Raises SettingsError.
    """
    keys = load_keys(home)
    free = [letter for letter in string.ascii_letters if all(key.id != letter for key in keys)]
    if not free:
        raise SettingsError(f"{home / FILE} holds {len(keys)} keys, the maximum.")
    older = [LinkKey(key.id, key.secret, key.ended or end_old) for key in keys]
    keys = [LinkKey(free[0], secrets.token_bytes(32)), *older]
    part = _write_part(home / FILE, keys)
    part.replace(home / FILE)
    return keys


def _write_first(path: Path, keys: list[LinkKey]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    part = _write_part(path, keys)
    try:
        # a link, not a rename: if two processes create the first key at once, one wins and both
        # read that one
        path.hardlink_to(part)
    except FileExistsError:
        pass
    finally:
        part.unlink()


def _write_part(path: Path, keys: list[LinkKey]) -> Path:
    part = path.with_name(f"{path.name}.{secrets.token_hex(4)}.part")
    text = json.dumps(
        [{"id": key.id, "secret": key.secret.hex(), "ended": key.ended} for key in keys]
    )
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    return part
