"""Accuracy on each question's phrases under the full grammar of that question, clean and in noise.

Run: python -m tests.benchmarks.bench_questions [--each 2] [--seed 7] [--engine auto] [--again]
[--levels] [--work FILE]

The phrases are drawn from tests/unit/phrases.toml and spoken by the dev extra's synthesiser, each
at its own speed and pitch. Other voices are added if DOORROUND_SPEECH names a folder of human
speech.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

import numpy as np

from doorround.config.resources import load_checklist, pronunciations
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Value
from doorround.hearing.adaptation.labelled_clips import SILENT, LabelledClip, read_clips
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import RATE, Samples, Sound, UnusableAudio, sound_of
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.engines.recogniser import Outcome
from doorround.hearing.grammar.active_grammar import ActiveGrammar, Polarity
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.answer_merging import merged
from doorround.hearing.session.question_grammar import grammar_now
from doorround.wiring import load_understanding
from scripts.make_voice import RATE as VOICE_RATE
from scripts.make_voice import in_a_room, spoken
from tests.benchmarks.noise import mixed, pink, voices
from tests.unit.phrase_table import TABLE

SEED = 7
USUAL_LEVELS = {"pink": (5,), "voices": (10,)}
ALL_LEVELS = {"pink": (10, 5, 0), "voices": (10, 5, 0)}
"""Kinds of noise, and how many decibels each lies under the words."""
SPEEDS = (0.85, 1.15)
PITCHES = (0.9, 1.15)


def phrases(each: int, seed: int = SEED) -> Iterator[tuple[str, str]]:
    """Question and phrase, so many of each question."""
    drawn = random.Random(seed)
    keys = {question.key for question in load_checklist("routine").question}
    for key, meanings in TABLE.items():
        if key in keys:
            said = [phrase for ways in meanings.values() for phrase in ways]
            yield from ((key, phrase) for phrase in drawn.sample(said, min(each, len(said))))


def voice(words: str) -> Sound:
    """The words, at a speed and pitch that depend on the words alone."""
    first, second, *_ = hashlib.sha256(words.encode()).digest()
    slow, quick = SPEEDS
    low, high = PITCHES
    said = in_a_room(
        spoken(words, slow + (quick - slow) * first / 255, low + (high - low) * second / 255)
    )
    count = round(len(said) * RATE / VOICE_RATE)
    return sound_of(
        np.interp(np.linspace(0, len(said) - 1, count), np.arange(len(said)), said).astype(
            np.float32
        )
    )


def other_voices() -> list[Samples]:
    """Words of people, from the folder of human speech; none where there is none."""
    folder = os.environ.get("DOORROUND_SPEECH")
    return (
        pool_of([clip for clip in read_clips(Path(folder)) if not clip.for_tuning])
        if folder
        else []
    )


def pool_of(clips: Sequence[LabelledClip]) -> list[Samples]:
    """The words of these clips that hold any."""
    pool = []
    for clip in clips:
        if clip.words != SILENT:
            try:
                pool.append(load_sound(clip.path).samples)
            except UnusableAudio:
                continue
    return pool


def noisy(
    sound: Sound,
    pool: list[Samples],
    drawn: np.random.Generator,
    levels: Mapping[str, Sequence[int]] = USUAL_LEVELS,
) -> Iterator[tuple[str, Sound]]:
    """The sound clean and in noise; without a pool in no other voices."""
    yield "clean", sound
    count = len(sound.samples)
    for decibels in levels["pink"]:
        yield f"pink {decibels} dB", mixed(sound, pink(count, drawn), decibels)
    for decibels in levels["voices"] if pool else ():
        yield f"voices {decibels} dB", mixed(sound, voices(count, pool, drawn), decibels)


def allowed_at(key: str) -> tuple[ActiveGrammar, ExpectedInput]:
    """What may be said at a question, with all the others still to come, several of them in one
    breath.
    """
    checklist = load_checklist("routine")
    others = tuple(each for each in checklist.question if each.key != key)
    now = ExpectedInput(Stage.ASKING, checklist.ask(key), others, parts=checklist.question)
    return grammar_now(load_understanding(), now), now


def comes_to(said: tuple[Said, ...]) -> list[Value | Command]:
    """What was said once, however often it was said."""
    return [each.value for each in merged(said)]


def main() -> None:
    """Measure and print a table and every miss."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--each", type=int, default=2)
    parser.add_argument(
        "--seed", type=int, default=SEED, help="Draws other phrases, and other noise."
    )
    parser.add_argument("--engine", default="auto")
    parser.add_argument(
        "--again", action="store_true", help="Count the second hearing of each, as at a later door."
    )
    parser.add_argument(
        "--levels", action="store_true", help="Pink noise and other voices at 10, 5 and 0 dB."
    )
    parser.add_argument("--work", type=Path, help="A file for the trials, one line of JSON each.")
    options = parser.parse_args()
    ear = choose_engines(
        Path("models-not-looked-at"), options.engine, pronunciations=pronunciations()
    ).pipeline
    pool, drawn, understanding = (
        other_voices(),
        np.random.default_rng(options.seed),
        load_understanding(),
    )
    counts: dict[str, Counter[str]] = {}
    misses, rows = [], []
    for key, written in phrases(options.each, options.seed):
        words = " ".join(split_words(written))
        grammar, now = allowed_at(key)
        meant = understanding.words(words, now)
        ear.listen(
            voice("three"), grammar
        )  # the grammar is compiled once a question, while the question is asked
        for kind, sound in noisy(
            voice(words), pool, drawn, ALL_LEVELS if options.levels else USUAL_LEVELS
        ):
            count = counts.setdefault(kind, Counter())
            if options.again:
                ear.listen(sound, grammar)
            began = time.perf_counter()
            heard = ear.listen(sound, grammar)
            count["ms"] += round(1000 * (time.perf_counter() - began))
            count["ms of sound"] += round(1000 * sound.seconds)
            got = understanding.words(heard.phrase, now) if heard.phrase else None
            right = bool(got and meant and comes_to(got.said) == comes_to(meant.said))
            accepted = heard.outcome is Outcome.HEARD
            passed = accepted and not right and grammar.polarity(str(heard.phrase)) is Polarity.PASS
            count.update(
                trials=1,
                right=right,
                accepted=accepted,
                wrong=accepted and not right,
                wrong_pass=passed,
            )
            rows.append(
                {
                    "question": key,
                    "condition": kind,
                    "words": words,
                    "phrase": heard.phrase,
                    "right": right,
                    "outcome": heard.outcome.value,
                    "accepted": accepted,
                    "wrong_pass": passed,
                    "probability": heard.probability,
                    "seconds": heard.seconds,
                    "length": sound.seconds,
                }
            )
            if not right:
                misses.append(
                    f"{kind}, {key}: {words} → {heard.outcome.value} {heard.phrase}"
                    f" {heard.probability:.2f}"
                )
    if options.work:
        options.work.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    print(
        "| | trials | right, % | accepted, % | accepted wrong | wrong pass | ms | time / length |\n"
        + "|---" * 8
        + "|"
    )
    for kind, count in counts.items():
        share = [f"{100 * count[name] / count['trials']:.1f}" for name in ("right", "accepted")]
        row = [
            kind,
            count["trials"],
            *share,
            count["wrong"],
            count["wrong_pass"],
            count["ms"] // count["trials"],
        ]
        print("| " + " | ".join(map(str, row)) + f" | {count['ms'] / count['ms of sound']:.3f} |")
    print("\n" + "\n".join(misses))


if __name__ == "__main__":
    main()
