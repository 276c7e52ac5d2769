"""Answers in caretakers' own words, spoken: `python -m tests.benchmarks.bench_own_words --said FILE
[--each 40] [--noise]`.

FILE as for bench_understanding. Voices that nothing was tuned on, in a quiet room and, with
--noise, in pink noise of 10 dB. Counted as there, each as the dialogue would act on a recording:
entered, read back or offered; a fault by its own name where the
table has it. A pass that must not be, entered unasked, is printed.
"""

from __future__ import annotations

import argparse
import csv
import random
import time
from collections import Counter, defaultdict
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.input_result import AnyHeard
from doorround.hearing.audio.noise import mixed, pink
from doorround.hearing.audio.sound import Sound
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import Understood
from doorround.wiring import EngineLoader, load_understanding
from tests.benchmarks.bench_understanding import expected_at, outcome, report, right_by, told
from tests.benchmarks.synthesisers import in_quiet, level, present, said_by

VOICES = ("flite slt", "flite rms", "espeak-ng en-gb-x-rp", "espeak-ng en-gb-scotland")
NOISE_DB = 10.0
EDGE = 0.5
"""Seconds of quiet before and after."""


def rows(path: Path, each: int, seed: int) -> list[dict[str, str]]:
    """So many rows of each kind of expectation, drawn from the table."""
    kinds: dict[str, list[dict[str, str]]] = defaultdict(list)
    for row in csv.DictReader(path.open(encoding="utf-8")):
        if row["expected"] in ("S", "D", "X"):
            kinds[row["expected"]].append(row)
    drawn = random.Random(seed)
    return [
        row for of_kind in kinds.values() for row in drawn.sample(of_kind, min(each, len(of_kind)))
    ]


def sounds(words: str, voice: str, noise: bool, seed: int) -> Sound:
    sound = in_quiet(level(said_by(voice, words)), EDGE, seed)
    if not noise:
        return sound
    return mixed(sound, pink(len(sound.samples), np.random.default_rng(seed)), NOISE_DB)


def acted_on(heard: AnyHeard, key: str, second: Understanding) -> Understood:
    """What the dialogue would do."""
    if heard.kind == "heard":
        hedged = any(said.hedged for said in heard.said)
        return Understood("read_back" if hedged else "entered", heard.said)
    if heard.kind == "unsure":
        return Understood("read_back", heard.guesses[0].said)
    allowed = expected_at(key)
    transcript = getattr(heard, "transcript", "")
    return second.understand(allowed.open, transcript, allowed).as_spoken()


def cases(given: argparse.Namespace) -> Iterator[tuple[dict[str, str], str, bool]]:
    voices = given.voice or present(VOICES)
    for noise in (False, True) if given.noise else (False,):
        for place, row in enumerate(rows(given.said, given.each, given.seed)):
            yield row, voices[place % len(voices)], noise


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--said", type=Path, required=True)
    parser.add_argument("--each", type=int, default=40)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--voice", action="append")
    parser.add_argument("--noise", action="store_true")
    parser.add_argument("--show", action="store_true")
    given = parser.parse_args()
    ears, interpreter = EngineLoader(read_settings())(), load_understanding()
    second = Understanding(load_checklist())
    count: dict[bool, dict[str, Counter[str]]] = {}
    spent, length = defaultdict[bool, float](float), defaultdict[bool, float](float)
    for place, (row, voice, noise) in enumerate(cases(given)):
        sound = sounds(row["words"], voice, noise, place)
        began = time.perf_counter()
        heard = recognise_turn(ears, interpreter, sound, expected_at(row["question"]))
        refused = heard.kind == "off_grammar"
        found = acted_on(heard, row["question"], second)
        if refused:
            spent[noise] += time.perf_counter() - began
            length[noise] += sound.seconds
        state = outcome(found, right_by(row))
        count.setdefault(noise, defaultdict(Counter))[row["expected"]][state] += 1
        if given.show or state == "WRONG":
            written = getattr(heard, "transcript", "")
            print(
                f"  {state}: {row['question']} “{row['words']}” {voice} “{written}” {told(found)}",
                flush=True,
            )
    for noise, states in count.items():
        print("pink noise, 10 dB" if noise else "quiet")
        report(states)
        print(f"refused turns took {spent[noise] / max(length[noise], 0.1):.2f} of their length")


if __name__ == "__main__":
    main()
