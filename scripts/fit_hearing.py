"""Fit bot/doorround/hearing/decision/calibration.toml on the tuning half of the speakers of a
folder of labelled clips.

Run: python -m scripts.fit_hearing FOLDER [--ways listeners pair] [--trials FILE]
FOLDER is that of DOORROUND_SPEECH. Each combination of engines takes about ten minutes on two
cores; those not named keep their values. FILE caches what was recognised, to try other fits on.

People say ten words, yes and no, and digits, clean and in noise. The dev extra's synthesiser says
the phrases of each question, which are decoded under everything that may be said there.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from importlib import import_module
from itertools import chain, islice
from pathlib import Path

from doorround.config.resources import pronunciations
from doorround.hearing.adaptation.calibration_fit import WAYS, carried, fitted
from doorround.hearing.adaptation.calibration_trials import (
    SpokenClip,
    in_noise,
    spoken_in,
    trial_of,
)
from doorround.hearing.adaptation.labelled_clips import LabelledClip, read_clips
from doorround.hearing.adaptation.probability_fit import Trial
from doorround.hearing.decision.calibration import COVERS, FILE, Calibration, read_calibration
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.grammar.active_grammar import ActiveGrammar
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.lexicon.tokeniser import split_words

DIGITS = ("zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEN = ("yes", "no", "up", "down", "left", "right", "on", "off", "stop", "go")
LISTS = {"yes/no": (("yes", "no"), 1, 4), "ten": (TEN, 3, 1), "digits": (DIGITS, 3, 1)}
"""Phrases to listen for; one clip in how many is heard in noise too, and in how many kinds: no for
yes is the flip to fit on, and somebody else's yes, under a word that is none, the wrong pass.
"""

PARTS = 2
"""Processes, each with its share."""

EACH = 6
"""Phrases of each question."""

TIMES = 3.0
"""How much each of their recordings counts: as much together as what people say."""

NOISES = (("pink", 5), ("voices", 10), ("voices", 5), ("voices", 0))
SEED = 11
"""Draws other phrases than the benchmark does."""


def people(clips: list[LabelledClip]) -> Iterator[SpokenClip]:
    """People's recordings, for each list of phrases."""
    for phrases, noisy, kinds in LISTS.values():
        digits = phrases == DIGITS
        some = [clip for clip in clips if (clip.words in DIGITS) == digits]
        yield from spoken_in(some, always(phrases), noisy, kinds)


def always(phrases: tuple[str, ...]) -> Callable[[LabelledClip], ActiveGrammar]:
    """The same phrases for every clip."""
    grammar = grammar_of_phrases(phrases)
    return lambda _clip: grammar


def trade(clips: list[LabelledClip], part: int) -> Iterator[SpokenClip]:
    """Synthesised phrases of each question, under everything that may be said there; one in PARTS
    of them.
    """
    bench = import_module("tests.benchmarks.bench_questions")
    pool = bench.pool_of(clips)
    for number, (key, said) in enumerate(bench.phrases(EACH, SEED)):
        if number % PARTS != part:
            continue
        words = " ".join(split_words(said))
        grammar = bench.allowed_at(key)[0]
        sound = bench.voice(words)
        yield SpokenClip(words, sound, words, grammar)
        for kind, decibels in NOISES:
            noise = in_noise(sound, kind, decibels, pool, words)
            yield SpokenClip(words, noise, words, grammar, f"{kind} {decibels} dB")


def trials(clips: list[LabelledClip], part: int, ways: tuple[str, ...]) -> dict[str, list[Trial]]:
    """The results of each combination of engines on one recording in PARTS, by its name in the
    file.
    """
    nowhere = Path("models-not-looked-at")
    ears = {
        way: choose_engines(nowhere, way, pronunciations=pronunciations()).pipeline for way in ways
    }
    heard: dict[str, list[Trial]] = {way: [] for way in ways}
    said = ((spoken, 1.0) for spoken in islice(people(clips), part, None, PARTS))
    for spoken, weight in chain(said, ((spoken, TIMES) for spoken in trade(clips, part))):
        for way, ear in ears.items():
            trial = trial_of(ear, spoken, weight)
            if trial:
                heard[way].append(trial)
    return heard


def _with_coverage(way: str, found: Calibration) -> Calibration:
    """Keep the values fitted by scripts/fit_coverage.py."""
    before = read_calibration(way)
    return replace(found, **{name: getattr(before, name) for name in COVERS})


def main() -> None:
    """Fit each combination of engines and write the file."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--ways", nargs="+", choices=WAYS, default=WAYS)
    parser.add_argument("--trials", type=Path)
    options = parser.parse_args()
    clips = [clip for clip in read_clips(options.folder) if clip.for_tuning]
    ways = tuple(options.ways)
    with ProcessPoolExecutor(PARTS) as pool:
        halves = list(pool.map(trials, [clips] * PARTS, range(PARTS), [ways] * PARTS))
    heard = {way: [trial for half in halves for trial in half[way]] for way in ways}
    if options.trials:
        options.trials.write_bytes(pickle.dumps(heard))
    found = {way: _with_coverage(way, fitted(way, heard[way])) for way in ways}
    made = f"scripts/fit_hearing.py, {len(clips)} clips of the tuning half of the speakers"
    FILE.write_text(carried(found, made), encoding="utf-8")


if __name__ == "__main__":
    main()
