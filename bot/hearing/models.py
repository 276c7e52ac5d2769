"""Which speech engines and models are on this machine, and getting a Vosk model."""

from __future__ import annotations

from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from bot.hearing.recogniser import EngineUnavailable
from bot.hearing.weights import find_second, find_weights


@dataclass(frozen=True)
class Installed:
    """One engine: whether it can be used now, and what it is or how to get it."""

    name: str
    ready: bool
    about: str


def installed_engines(models: Path) -> list[Installed]:
    """The engines as they stand on this machine. Nothing is loaded."""
    vosk, weights = find_vosk_model(models), find_weights(models)
    sphinx, second = find_spec("pocketsphinx") is not None, find_second()
    return [
        Installed("vosk", vosk is not None, f"model {vosk.name}" if vosk else "doorround models get fetches a model"),
        Installed("pocketsphinx", sphinx, "model inside its package" if sphinx else "pip install pocketsphinx"),
        Installed("listener", weights is not None, _listener_about(weights)),
        Installed("moonshine", second is not None, _listener_about(second, "the second listener, ")),
    ]


def _listener_about(weights: Path | None, which: str = "") -> str:
    where = f"weights in {weights.parent.name}/{weights.name}" if weights else "pip install 'doorround[listener]'"
    return which + where


def find_vosk_model(models: Path, language: str = "en") -> Path | None:
    """The first folder in `models` that holds a Vosk model of a language, or `models` itself if it is one."""
    folders = [models, *sorted(models.iterdir())] if models.is_dir() else []
    for folder in folders:
        if is_vosk_model(folder) and _language(folder) in (language, None):
            return folder
    return None


def is_vosk_model(folder: Path) -> bool:
    """Whether a folder holds a Vosk model: an acoustic model and a graph or its parts."""
    return any((folder / name).is_file() for name in ("am/final.mdl", "final.mdl")) and (
        (folder / "conf").is_dir() or (folder / "mfcc.conf").is_file()
    )


def _language(folder: Path) -> str | None:
    """vosk-model-small-en-us-0.15 → en; None where the name does not tell."""
    parts = folder.name.removeprefix("vosk-model-").removeprefix("small-").split("-")
    return parts[0] if folder.name.startswith("vosk-model-") else None


def _downloader() -> Any:
    """Vosk's Model with nothing loaded, so with nothing to free either: its downloader is one of its methods."""
    from vosk import Model

    class Downloader(Model):  # type: ignore[misc]
        def __init__(self) -> None: ...

        def __del__(self) -> None: ...

    return Downloader()


def get_vosk_model(name: str, models: Path) -> Path:
    """Fetch a model by its name into `models` with Vosk's own downloader, unless it is there. Needs the network.

    Raises EngineUnavailable, with what to do by hand, when it cannot be fetched.
    """
    place = models / name
    if is_vosk_model(place):
        return place
    models.mkdir(parents=True, exist_ok=True)
    try:
        _downloader().download_model(place)
    except Exception as error:
        raise EngineUnavailable(
            f"{name} could not be fetched ({type(error).__name__}). Fetch its zip elsewhere and unpack it in {models}."
        ) from error
    if not is_vosk_model(place):
        raise EngineUnavailable(f"{name} was fetched but is no Vosk model. Check the name.")
    return place
