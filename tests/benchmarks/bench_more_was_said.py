"""Whether speech that continues after an answer is ever entered as the pass that it begins with.

Run: python -m tests.benchmarks.bench_more_was_said [--said TABLE] [--engine auto] [--count 600]
[--work FILE]

DOORROUND_SPEECH names a folder of human speech; TABLE holds answers in own words (question, words,
expected). The recordings are the measuring half of tests/benchmarks/more_said.py, on which nothing
is fitted. They hold passing phrases, each with a tail; own words that are not a pass; people's
"yes" and "no" followed directly by another word; and halves of their other words. Phrases, yes and
no alone, which should be entered, are measured too. In quiet; those that begin like a pass also in
pink noise at 10 or 5 dB, or under voices.
"""

from __future__ import annotations

import argparse
import json
import os
import time
import zlib
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np

from doorround.config.resources import pronunciations
from doorround.hearing.adaptation.labelled_clips import LabelledClip, read_clips
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import DetectedSpeech, detect_speech
from doorround.hearing.decision.calibration import Calibration
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.engines.recogniser import Outcome, Recognition
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from tests.benchmarks.bench_questions import pool_of
from tests.benchmarks.more_said import (
    YES_NO,
    Case,
    allowed_for,
    alone,
    halves,
    in_grammar,
    own_words,
    people,
    says_all,
    with_tails,
)
from tests.benchmarks.more_said_page import FIRST_END, FREE, SECOND_END, report
from tests.benchmarks.noise import mixed, pink, voices
from tests.benchmarks.synthesisers import MEASURE_VOICES, present

PARTS = 2
NOISES = (("pink", 10), ("pink", 5), ("voices", 10))
"""Every recording is heard in quiet, and those that begin like a pass in one of these, in turn."""

TIMED = 6
"""One in so many is timed."""

FAULTS = 120
RIGHT = 300
PEOPLE = 420
HALVES = 240
"""Faults with a tail, phrases alone, people's words with another, and halves of others."""


def cases(
    clips: list[LabelledClip],
    said: Path | None,
    count: int,
    only: str = "",
    start: int = 0,
    alone_count: int | None = None,
) -> Iterator[Case]:
    """All recordings of the measuring half. only: "synthetic" or "people"; all where it is
    empty. start: where to begin among phrases and tails, so that others come together.
    alone_count: how many phrases alone, if not RIGHT or, where that is less, count.
    """
    speakers = present(MEASURE_VOICES)
    if only != "people":
        yield from with_tails("measure", speakers, count, start=start)
        yield from own_words("measure", speakers, said) if said else ()
        yield from with_tails("measure", speakers, min(FAULTS, count), Polarity.DEFECT, start)
        yield from alone("measure", speakers, alone_count or min(RIGHT, count))
    if only != "synthetic" and clips:
        yield from people(clips, min(PEOPLE, count), start)
        yield from halves(clips, min(HALVES, count))


def noisy(case: Case, pool: list[Any]) -> Iterator[tuple[str, Sound]]:
    """A recording in quiet, and in noise where it begins like a pass."""
    yield "quiet", case.sound
    seed = zlib.crc32(case.name.encode())
    count = len(case.sound.samples)
    kind, decibels = NOISES[seed % len(NOISES)]
    if case.kind in ("more", "own") and (kind == "pink" or pool):
        drawn = np.random.default_rng(seed)
        noise = pink(count, drawn) if kind == "pink" else voices(count, pool, drawn)
        yield f"{kind} {decibels} dB", mixed(case.sound, noise, decibels)


def trial(ear: RecognitionPipeline, case: Case, condition: str, sound: Sound) -> dict[str, Any]:
    """One recording heard, decided on as it is and as it would be were a phrase not held to be all
    that was said.
    """
    grammar = allowed_for(case.question)
    speech = detect_speech(sound)
    began = time.perf_counter()
    scored = ear.score_phrases(speech, grammar)
    row = _row(case, condition) | {"seconds": time.perf_counter() - began, "length": sound.seconds}
    if not scored.guesses:
        return row
    heard, without = _decided(ear, scored, speech, grammar)
    phrase = scored.guesses[0].phrase
    reading = grammar.read(phrase)
    row |= {
        "outcome": heard.outcome.value,
        "phrase": heard.phrase,
        "within": heard.within,
        "passes": reading.polarity is Polarity.PASS or case.question == YES_NO,
        "probability": heard.probability,
        "covered": heard.covered,
        "why": heard.why,
        "transcript": scored.transcript,
        "entered": heard.outcome is Outcome.HEARD,
        "entered without": without.outcome is Outcome.HEARD,
        "in grammar": case.kind != "right" and in_grammar(case),
        "evidence": dict(scored.evidence),
        "right": bool(case.phrase) and reading.gist == grammar.read(case.phrase).gist,
    }
    timed = condition == "quiet" and zlib.crc32(case.name.encode()) % TIMED == 0
    return row | (_timed(ear, sound, case) if timed else {})


def _row(case: Case, condition: str) -> dict[str, Any]:
    """A trial in which nothing was heard."""
    return {
        "name": case.name,
        "kind": case.kind,
        "question": case.question,
        "words": case.words,
        "voice": case.voice,
        "condition": condition,
        "outcome": Outcome.OFF_GRAMMAR.value,
        "phrase": None,
        "within": None,
        "passes": False,
        "probability": 0.0,
        "covered": 1.0,
        "why": None,
        "transcript": "",
        "entered": False,
        "entered without": False,
        "in grammar": False,
        "says all": bool(case.phrase) and says_all(case),
        "right": False,
        "evidence": {},
    }


def _decided(
    ear: RecognitionPipeline,
    scored: ScoredHypotheses,
    speech: DetectedSpeech,
    grammar: ActiveGrammar,
) -> tuple[Recognition, Recognition]:
    """What is decided, and what would be were a phrase not held to be all that was said."""
    calibration = ear.calibration
    heard = ear.decide(scored, grammar, speech)
    ear.use(_unheld(calibration))
    without = ear.decide(scored, grammar, speech)
    ear.use(calibration)
    return heard, without


def _timed(ear: RecognitionPipeline, sound: Sound, case: Case) -> dict[str, Any]:
    """Seconds of hearing once more, without looking for more and with it."""
    calibration = ear.calibration
    spent = []
    for used in (_unheld(calibration), calibration):
        ear.use(used)
        began = time.perf_counter()
        ear.listen(sound, allowed_for(case.question))
        spent.append(time.perf_counter() - began)
    return {
        "seconds without": spent[0],
        "seconds with": spent[1],
        "ms": _milliseconds(ear, sound, case),
    }


def _milliseconds(ear: RecognitionPipeline, sound: Sound, case: Case) -> dict[str, float]:
    """What each way of telling takes on a recording that has been taken in, where both listeners
    are here.
    """
    listener = ear.ensemble.listener
    second = ear.ensemble.second
    encoded = listener.encode(sound) if listener else None
    if not listener or not second or not encoded:
        return {}
    second_encoded = second.encode(detect_speech(sound).around)
    most = round(4 + 6 * encoded.spoken)
    ways = {
        FIRST_END: lambda: listener.ends(encoded, case.phrase or case.words),
        SECOND_END: lambda: second.ends(second_encoded, case.phrase or case.words),
        FREE: lambda: second.transcribe(second_encoded, most),
    }
    spent = {}
    for name, way in ways.items():
        began = time.perf_counter()
        way()
        spent[name] = 1000 * (time.perf_counter() - began)
    return spent


def _unheld(calibration: Calibration) -> Calibration:
    return replace(calibration, covers=None, covers_quiet=None, covers_word=None)


def heard(
    clips: list[LabelledClip], part: int, options: argparse.Namespace
) -> list[dict[str, Any]]:
    """One in PARTS of all trials."""
    ear = choose_engines(
        Path("models-not-looked-at"), options.engine, pronunciations=pronunciations()
    ).pipeline
    pool = pool_of(clips)
    wanted = (options.count, options.only, options.start, options.alone)
    some = islice(cases(clips, options.said, *wanted), part, None, PARTS)
    return [
        trial(ear, case, condition, sound)
        for case in some
        for condition, sound in noisy(case, pool)
    ]


def main() -> None:
    """Measure and print the tables, and everything that was entered or read back wrongly."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--said", type=Path)
    parser.add_argument("--engine", default="auto")
    parser.add_argument("--count", type=int, default=660)
    parser.add_argument("--alone", type=int, help="So many phrases alone; there are 756.")
    parser.add_argument("--only", choices=("synthetic", "people"), default="")
    parser.add_argument("--start", type=int, default=0, help="Another one pairs others.")
    parser.add_argument("--work", type=Path, help="A file for the trials, one line of JSON each.")
    options = parser.parse_args()
    folder = os.environ.get("DOORROUND_SPEECH")
    clips = [clip for clip in read_clips(Path(folder)) if not clip.for_tuning] if folder else []
    with ProcessPoolExecutor(PARTS) as pool:
        rows = [
            row
            for part in pool.map(heard, [clips] * PARTS, range(PARTS), [options] * PARTS)
            for row in part
        ]
    if options.work:
        options.work.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    print(report(rows))


if __name__ == "__main__":
    main()
