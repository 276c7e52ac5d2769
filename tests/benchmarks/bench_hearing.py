"""Accuracy of each engine on people's speech, and its false accepts of speech that is not an
answer.

Run: DOORROUND_SPEECH=FOLDER python -m tests.benchmarks.bench_hearing [--json FILE]

The folder contains manifest.csv (columns file, words, speaker, source). Only the half of the
speakers on which nothing was fitted is used. Same clips, same run, each engine in its own process.
Right: entered or read back. Best guess right: includes hypotheses that are asked for again because
they are not trusted at all.
"""

from __future__ import annotations

import json
import os
import resource
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from typing import Any

import numpy as np

from doorround.hearing.adaptation.labelled_clips import SILENT, STRANGE, LabelledClip, read_clips
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Sound, UnusableAudio
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from tests.benchmarks.hearing_page import engine_table, flip_table
from tests.benchmarks.noise import mixed, pink, voices

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEN = ("yes", "no", "up", "down", "left", "right", "on", "off", "stop", "go")
LISTS = {"yes/no": ("yes", "no"), "ten words": TEN, "8 kHz digits": DIGITS}
ENGINES = {
    "PocketSphinx as it comes": None,
    "PocketSphinx tuned": "pocketsphinx",
    "listener": "listener",
    "listener, PocketSphinx beside it": "pair",
    "two listeners": "listeners",
}
NOISES = (("pink", 10), ("pink", 5), ("voices", 10), ("voices", 5))
SEED = 5

Heard = tuple[str | None, bool, float, str | None]
"""Phrase entered or read back, whether it was accepted, seconds spent; the best guess, whatever
became of it.
"""


def as_it_comes() -> Callable[[Sound, ActiveGrammar], Heard]:
    """PocketSphinx with its own settings and the raw clip: the baseline.

    It accepts whatever it hears.
    """
    import time

    import pocketsphinx

    decoder = pocketsphinx.Decoder(pocketsphinx.Config(lm=None, loglevel="FATAL"))
    loaded: set[str] = set()

    def hear(sound: Sound, grammar: ActiveGrammar) -> Heard:
        if grammar.key not in loaded:
            decoder.add_jsgf_string(grammar.key, grammar.jsgf)
            loaded.add(grammar.key)
        began = time.perf_counter()
        decoder.activate_search(grammar.key)
        decoder.start_utt()
        decoder.process_raw(
            (np.clip(sound.samples, -1, 1) * 32767).astype("<i2").tobytes(), full_utt=True
        )
        decoder.end_utt()
        best = decoder.hyp()
        phrase = best.hypstr if best else None
        return phrase, phrase is not None, time.perf_counter() - began, phrase

    return hear


def ear_of(engine: str) -> Callable[[Sound, ActiveGrammar], Heard]:
    """The whole of hearing with one choice of engines."""
    return hearing_with(choose_engines(Path("models-not-looked-at"), engine).pipeline)


def hearing_with(ear: RecognitionPipeline) -> Callable[[Sound, ActiveGrammar], Heard]:
    """The whole of hearing with one ear."""

    def hear(sound: Sound, grammar: ActiveGrammar) -> Heard:
        recognition = ear.listen(sound, grammar)
        best = recognition.phrase
        if best is None and len(sound.samples):
            guesses = ear.score_phrases(sound, grammar).guesses
            best = guesses[0].phrase if guesses else None
        return (
            recognition.phrase,
            recognition.outcome is Outcome.HEARD,
            recognition.seconds,
            best,
        )

    return hear


def sounds(clips: list[LabelledClip]) -> Iterator[tuple[LabelledClip, Sound | None]]:
    """Clips with their sounds; None where one is refused as bad audio."""
    for clip in clips:
        try:
            yield clip, load_sound(clip.path)
        except UnusableAudio:
            yield clip, None


def is_digit(clip: LabelledClip) -> bool:
    """Whether the clip is of the digits' set: 8 kHz."""
    return clip.words in DIGITS


def measure_list(
    hear: Callable[[Sound, ActiveGrammar], Heard],
    clips: list[LabelledClip],
    phrases: tuple[str, ...],
) -> dict[str, float]:
    """Shares in percent for one list of phrases."""
    grammar = grammar_of_phrases(phrases)
    asked, right, guessed, accepted_right, accepted_wrong, flipped = 0, 0, 0, 0, 0, 0
    others: dict[str, list[bool]] = {STRANGE: [], SILENT: []}
    spent, length = 0.0, 0.0
    for clip, sound in sounds(clips):
        phrase, accepted, seconds, best = (
            hear(sound, grammar) if sound else (None, False, 0.0, None)
        )
        spent = spent + seconds
        length = length + (sound.seconds if sound else 0.0)
        if clip.words not in phrases:
            others[SILENT if clip.words == SILENT else STRANGE].append(accepted)
            continue
        asked += 1
        right += phrase == clip.words
        guessed += best == clip.words
        accepted_right += accepted and phrase == clip.words
        accepted_wrong += accepted and phrase != clip.words
        flipped += accepted and clip.words == "no" and phrase == "yes"
    result = {
        "asked": asked,
        "right": 100 * right / asked,
        "best guess right": 100 * guessed / asked,
        "right ones refused": 100 * (1 - accepted_right / max(1, right)),
        "wrong accepted": 100 * accepted_wrong / asked,
        "no accepted as yes": flipped,
        "ms a clip": 1000 * spent / len(clips),
        "time / length": spent / length,
    }
    for name, kind in (("strangers accepted", STRANGE), ("silence accepted", SILENT)):
        if others[kind]:
            result[name] = 100 * float(np.mean(others[kind]))
            result[f"{name}, of"] = len(others[kind])
    return result


def measure_noise(
    hear: Callable[[Sound, ActiveGrammar], Heard], clips: list[LabelledClip]
) -> dict[str, dict[str, float]]:
    """The dangerous flip, "no" accepted as "yes", in noise made of the set itself."""
    grammar = grammar_of_phrases(("yes", "no"))
    random = np.random.default_rng(SEED)
    pool = [
        sound.samples
        for clip, sound in sounds(clips)
        if sound and clip.words not in (SILENT, STRANGE)
    ]
    asked = [
        (clip, sound) for clip, sound in sounds(clips) if sound and clip.words in ("yes", "no")
    ]
    table: dict[str, dict[str, float]] = {}
    for kind, decibels in NOISES:
        kept = []
        flips = []
        for clip, sound in asked:
            count = len(sound.samples)
            noise = pink(count, random) if kind == "pink" else voices(count, pool, random)
            phrase, accepted, *_ = hear(mixed(sound, noise, decibels), grammar)
            kept.append(accepted and phrase == clip.words)
            if clip.words == "no":
                flips.append(accepted and phrase == "yes")
        table[f"{kind} {decibels} dB"] = {
            "no": len(flips),
            "accepted as yes": sum(flips),
            "right and accepted": 100 * float(np.mean(kept)),
        }
    return table


def measure(engine: str | None, folder: str) -> dict[str, Any]:
    """All figures of one engine, and the most memory its process held."""
    hear = as_it_comes() if engine is None else ear_of(engine)
    clips = [clip for clip in read_clips(Path(folder)) if not clip.for_tuning]
    wide = [clip for clip in clips if not is_digit(clip)]
    # "strangers" of the digits may well be digits, so only the digits themselves are heard for that
    # list
    lists = {
        name: measure_list(
            hear,
            [clip for clip in clips if is_digit(clip)] if name == "8 kHz digits" else wide,
            phrases,
        )
        for name, phrases in LISTS.items()
    }
    noise = measure_noise(hear, wide)
    return {
        "lists": lists,
        "noise": noise,
        "peak MB": resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024,
    }


def main() -> None:
    """Measure all engines and print the tables."""
    folder = os.environ.get("DOORROUND_SPEECH")
    if not folder:
        sys.exit("Set DOORROUND_SPEECH to a folder of labelled clips with a manifest.csv.")
    results = {}
    for name, engine in ENGINES.items():
        # a process of its own each, one after the other: memory and time are of this engine alone
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
            results[name] = alone.submit(measure, engine, folder).result()
    print(engine_table(results), flip_table(results), sep="\n\n")
    if "--json" in sys.argv:
        Path(sys.argv[sys.argv.index("--json") + 1]).write_text(
            json.dumps(results, indent=2), encoding="utf-8"
        )


if __name__ == "__main__":
    main()
