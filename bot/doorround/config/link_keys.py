"""The keys of door links, in a file that only its owner may read: made when a link is first asked
for.
"""

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
    """The keys, the one to sign with first; the first is made where there is none. Raises
    SettingsError for a file that cannot be read, or that others may read.
    """
    path = home / FILE
    if not path.exists():
        _write_first(path, [LinkKey("a", secrets.token_bytes(32))])
    if os.name == "posix" and path.stat().st_mode & 0o077:
        raise SettingsError(f"{path} may be read by others. Run: chmod 600 {path}")
    try:
        kept = [
            LinkKey(key["id"], bytes.fromhex(key["secret"]), key["ended"])
            for key in json.loads(path.read_text())
        ]
    except (ValueError, KeyError, TypeError) as error:
        raise SettingsError(
            f"{path} is damaged. Put a backup in its place, else every label has to be new."
        ) from error
    if not kept or any(len(key.secret) != 32 for key in kept):
        raise SettingsError(
            f"{path} is damaged. Put a backup in its place, else every label has to be new."
        )
    return kept


def live_keys(home: Path) -> Callable[[], list[LinkKey]]:
    """What gives the keys as they are whenever it is asked, so that a running bot knows of renewed
    ones. The first are made, or refused, now: raises SettingsError.
    """
    load_keys(home)
    return partial(load_keys, home)


def renew_keys(home: Path, end_old: bool = False) -> list[LinkKey]:
    """Make a new key to sign with. end_old: links of the keys before are refused from now on.

    Raises SettingsError.
    """
    keys = load_keys(home)
    free = [letter for letter in string.ascii_letters if all(key.id != letter for key in keys)]
    if not free:
        raise SettingsError(
            f"{home / FILE} holds {len(keys)} keys, and there are no letters left for another."
        )
    older = [LinkKey(key.id, key.secret, key.ended or end_old) for key in keys]
    keys = [LinkKey(free[0], secrets.token_bytes(32)), *older]
    part = _write_part(home / FILE, keys)
    part.replace(home / FILE)
    return keys


def _write_first(path: Path, keys: list[LinkKey]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    part = _write_part(path, keys)
    try:
        # a link, not a rename: of two who make the first key at once, one wins and both read that
        # one
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
