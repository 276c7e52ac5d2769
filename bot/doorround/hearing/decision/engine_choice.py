"""Selects the engines for this machine, and says how to improve recognition."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from doorround.hearing.decision.calibration import FILE as CALIBRATION
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.moonshine_engine import MoonshineEngine
from doorround.hearing.engines.recogniser import Recogniser
from doorround.hearing.engines.sphinx_engine import SphinxEngine
from doorround.hearing.engines.vosk_engine import VoskEngine
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.errors import EngineUnavailable
from doorround.hearing.lexicon.pronunciations import Written
from doorround.hearing.model_files.checksums import check_listed
from doorround.hearing.model_files.installed_models import (
    GET_LISTENER,
    find_vosk_model,
    sphinx_here,
    vosk_ready,
)
from doorround.hearing.model_files.weights import find_second, find_weights

WANTED = ("auto", "listeners", "pair", "listener", "vosk", "pocketsphinx")

_GET_LISTENER = f"For much surer hearing, {GET_LISTENER}."
_GET_SECOND = f"For surer hearing in noise, {GET_LISTENER} (needs glibc 2.34, macOS 15 or Windows)."


@dataclass(frozen=True)
class ChosenEngines:
    """A pipeline, and one line that names its engines and how to improve recognition."""

    pipeline: RecognitionPipeline
    line: str


def choose_engines(
    models: Path,
    wanted: str = "auto",
    *,
    pronunciations: Written = None,
    calibration: Path | None = None,
) -> ChosenEngines:
    """The pipeline for the engines installed here. models: folder of Vosk models and Whisper
    folders; need not exist.

    listeners: the listener with the second one, and Vosk if an English model is installed. pair:
    the listener with Vosk, or else PocketSphinx. auto: the first of these that is installed; else
    the listener, Vosk or PocketSphinx alone. pronunciations: words that PocketSphinx lacks, and
    variants of others. calibration: custom coefficients; if None or not a file, those in the
    package. Raises EngineUnavailable, which says what to do.
    """
    fitted = calibration if calibration and calibration.is_file() else CALIBRATION
    if wanted not in WANTED:
        raise EngineUnavailable(f'There is no engine "{wanted}". Use one of: {", ".join(WANTED)}.')
    way = _best_way(models) if wanted == "auto" else wanted
    if way == "listeners":
        vosk = _vosk(models) if vosk_ready(models) else None
        line = "Hearing with two listeners" + (" and Vosk." if vosk else ".")
        return ChosenEngines(RecognitionPipeline(vosk, _listener(models), fitted, _second()), line)
    if way == "pair":
        beside, name = _beside(models, pronunciations)
        line = f"Hearing with the listener, {name} beside it. {_GET_SECOND}"
        return ChosenEngines(RecognitionPipeline(beside, _listener(models), fitted), line)
    if way == "listener":
        line = f"Hearing with the listener alone. {_GET_SECOND}"
        return ChosenEngines(RecognitionPipeline(_listener(models), calibration=fitted), line)
    engine = _vosk(models) if way == "vosk" else SphinxEngine(pronunciations)
    name = "Vosk" if way == "vosk" else "PocketSphinx"
    line = f"Hearing with {name} alone. {_GET_LISTENER}"
    return ChosenEngines(RecognitionPipeline(engine, calibration=fitted), line)


def _best_way(models: Path) -> str:
    alone = "vosk" if vosk_ready(models) else "pocketsphinx" if sphinx_here() else ""
    if find_weights(models):
        return "listeners" if find_second() else "pair" if alone else "listener"
    if not alone:
        raise EngineUnavailable(f"No engine can hear here yet: {GET_LISTENER}.")
    return alone


def _beside(models: Path, pronunciations: Written) -> tuple[Recogniser, str]:
    if vosk_ready(models):
        return _vosk(models), "Vosk"
    return SphinxEngine(pronunciations, gated=False), "PocketSphinx"


def _second() -> MoonshineEngine:
    folder = find_second()
    if folder is None:
        raise EngineUnavailable(f"The second listener is not here. {_GET_SECOND}")
    return MoonshineEngine(folder)


def _listener(models: Path) -> WhisperEngine:
    folder = find_weights(models)
    if folder is None:
        raise EngineUnavailable(
            f"The listener has no weights here: {GET_LISTENER}, or put a Whisper folder for"
            f" CTranslate2 into {models}."
        )
    return WhisperEngine(folder)


def _vosk(models: Path) -> Recogniser:
    folder = find_vosk_model(models)
    if folder is None:
        raise EngineUnavailable(
            f"No English Vosk model lies in {models}. Run: doorround models get."
        )
    check_listed(folder)
    return VoskEngine(folder)
