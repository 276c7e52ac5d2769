"""Synthesise phrases with British pronunciations, using southern English phones, for bench_british.

Run: pip install espeakng-loader; python -m scripts.make_british_voice FOLDER

For measuring only: the voice is a formant synthesiser, not a person.
"""

from __future__ import annotations

import ctypes
import hashlib
import sys
import wave
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from doorround.config.resources import british, load_checklist
from doorround.hearing.lexicon.pronunciations import read_dictionary
from doorround.wiring import load_understanding

VOICE = b"gmw/en-GB-x-rp"
SYNCHRONOUS = 2
RATE_SETTING = 1
PITCH_SETTING = 3
UTF8 = 1
SLOWEST = 125
QUICKEST = 175
LOWEST = 30
HIGHEST = 75
PAUSE_S = 0.3


def british_phrases() -> Iterator[tuple[str, str]]:
    """Question and phrase: common phrases that contain a word with a British pronunciation, at the
    first question of each rule.
    """
    words = set(read_dictionary(british().read_text(encoding="utf-8").splitlines()))
    book = load_understanding().grammar_set
    seen = set[str]()
    for question in load_checklist().question:
        if question.says not in seen and not question.says.startswith("measure"):
            seen.add(question.says)
            for phrase in book.usual(question.says):
                if words.intersection(phrase.split()):
                    yield question.key, phrase


def file_of(folder: Path, key: str, phrase: str) -> Path:
    """The path of a phrase's recording."""
    return folder / f"{key}.{phrase.replace(' ', '-')}.wav"


def synthesiser() -> tuple[Callable[[str], NDArray[np.int16]], int]:
    """A function that synthesises words, and its sample rate in Hz."""
    import espeakng_loader

    library: Any = ctypes.CDLL(espeakng_loader.get_library_path())
    pieces: list[NDArray[np.int16]] = []

    def keep(samples: Any, count: int, _events: Any) -> int:
        if samples and count:
            pieces.append(np.ctypeslib.as_array(samples, (count,)).copy())
        return 0

    kept = ctypes.CFUNCTYPE(
        ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p
    )(keep)
    rate = int(
        library.espeak_Initialize(SYNCHRONOUS, 0, espeakng_loader.get_data_path().encode(), 0)
    )
    library.espeak_SetSynthCallback(kept)
    if library.espeak_SetVoiceByName(VOICE):
        raise ValueError(f"The synthesiser has no voice {VOICE.decode()}.")

    def speak(words: str) -> NDArray[np.int16]:
        pieces.clear()
        first, second, *_ = hashlib.sha256(words.encode()).digest()
        library.espeak_SetParameter(RATE_SETTING, SLOWEST + (QUICKEST - SLOWEST) * first // 255, 0)
        library.espeak_SetParameter(PITCH_SETTING, LOWEST + (HIGHEST - LOWEST) * second // 255, 0)
        text = words.encode()
        library.espeak_Synth(text, len(text) + 1, 0, 0, 0, UTF8, None, None)
        return np.concatenate([*pieces, np.zeros(0, dtype=np.int16)])

    speak.__dict__["kept"] = kept  # the library calls it for as long as the voice exists
    return speak, rate


def main(folder: Path) -> None:
    """Write each phrase to its own WAV, with a moment of quiet around it."""
    speak, rate = synthesiser()
    folder.mkdir(parents=True, exist_ok=True)
    for key, phrase in british_phrases():
        quiet = np.random.default_rng(1).normal(0, 4, round(PAUSE_S * rate)).astype(np.int16)
        with wave.open(str(file_of(folder, key, phrase)), "wb") as written:
            written.setnchannels(1)
            written.setsampwidth(2)
            written.setframerate(rate)
            written.writeframes(np.concatenate([quiet, speak(phrase), quiet]).tobytes())


if __name__ == "__main__":
    main(Path(sys.argv[1]))
