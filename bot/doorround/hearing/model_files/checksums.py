"""Verifies every model file: a tokenizer with two words swapped would turn yes into no.

Packaged models are pinned here. For a user's own model, its list counts: SHA256SUMS in its folder,
in the format of sha256sum; `doorround models trust` creates it.
"""

from __future__ import annotations

import hashlib
import re
import tomllib
from collections.abc import Iterator, Mapping
from functools import lru_cache
from pathlib import Path

from doorround.hearing.errors import EngineUnavailable

LIST = "SHA256SUMS"
"""In a user's own model folder: the SHA-256 of each file, one per line, "<64 digits>  <path>"."""

Stated = Mapping[str, tuple[str, ...]]
"""Path inside a folder → its permitted SHA-256, one or more."""


@lru_cache(maxsize=1)
def _pinned() -> Mapping[str, Stated]:
    read = tomllib.loads(Path(__file__).with_name("pinned.toml").read_text(encoding="utf-8"))
    return {
        model: {
            name: (each,) if isinstance(each, str) else tuple(each) for name, each in files.items()
        }
        for model, files in read.items()
    }


def pinned(model: str) -> Stated:
    """Pinned files of a packaged model: whisper, moonshine, activity, pocketsphinx; or archives."""
    return _pinned()[model]


def sha256_of(path: Path) -> str:
    """Raises OSError."""
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def check_pinned(folder: Path, model: str, cure: str) -> None:
    """Verify a packaged model's files against the pinned hashes. cure: what to do, a sentence.

    Raises EngineUnavailable.
    """
    for name, allowed in pinned(model).items():
        _check(folder, name, allowed, cure)


def check_listed(folder: Path) -> None:
    """Verify a folder against its own list, in both directions.

    Raises EngineUnavailable if there is no list, or a file differs, is missing, or is not listed.
    """
    stated = _read_list(folder)
    if not stated:
        raise EngineUnavailable(
            f"Nobody has vouched for the model {folder.name}. If you trust where it comes from, "
            f"run: doorround models trust {folder.name}"
        )
    again = (
        f"Get {folder.name} again; or, if you changed it yourself, run: doorround models trust"
        f" {folder.name}"
    )
    for name in _files(folder):
        if name not in stated:
            raise EngineUnavailable(f"{folder.name}/{name} is not on its {LIST}. {again}")
    for name, digest in stated.items():
        _check(folder, name, (digest,), again)


def vouch(folder: Path) -> int:
    """Write the list of all current files in a folder; returns their number. Raises OSError."""
    lines = [f"{sha256_of(folder / name)}  {name}\n" for name in _files(folder)]
    (folder / LIST).write_text("".join(lines), encoding="utf-8", newline="\n")
    return len(lines)


def is_listed(folder: Path) -> bool:
    """Whether a folder has a list. Verifies nothing."""
    return (folder / LIST).is_file()


def _check(folder: Path, name: str, allowed: tuple[str, ...], cure: str) -> None:
    path = folder / name
    try:
        found = sha256_of(path)
    except OSError as error:
        raise EngineUnavailable(
            f"{folder.name}/{name} cannot be read ({error.strerror}). {cure}"
        ) from error
    if found not in allowed:
        raise EngineUnavailable(
            f"{folder.name}/{name} is not the file that is meant: {found[:16]}… {cure}"
        )


def _read_list(folder: Path) -> dict[str, str]:
    if not is_listed(folder):
        return {}
    lines = (folder / LIST).read_text(encoding="utf-8", errors="replace").splitlines()
    found = (re.fullmatch(r"([0-9a-fA-F]{64}) [ *](\S.*)", line.strip()) for line in lines)
    return {each[2].removeprefix("./"): each[1].lower() for each in found if each}


def _files(folder: Path) -> Iterator[str]:
    """Paths of all files inside, in order; without the list and hidden files, which no engine
    reads.
    """
    for path in sorted(folder.rglob("*")):
        inside = path.relative_to(folder)
        if (
            path.is_file()
            and inside.as_posix() != LIST
            and not any(part.startswith(".") for part in inside.parts)
        ):
            yield inside.as_posix()
