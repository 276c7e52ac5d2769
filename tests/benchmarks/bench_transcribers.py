"""Which listener's free transcripts are interpreted best.

Run: python -m tests.benchmarks.bench_transcribers --said FILE --model NAME=FOLDER [--each 16]

FILE as for bench_understanding; each FOLDER is a CTranslate2 Whisper model. Clips as in
bench_own_words, in quiet and in pink noise at 10 dB. Each model and the program's own listeners
transcribe all of them freely, and the second interpreter reads the transcripts. Prints faults and
sound answers reached, word error rate in percent, seconds per clip, and the model's size in MB.
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

from rapidfuzz.distance import Levenshtein

from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.hearing.audio.sound import Sound
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.understanding.understand import Understanding
from doorround.wiring import EngineLoader, load_understanding
from tests.benchmarks.bench_own_words import cases, rows, sounds
from tests.benchmarks.bench_understanding import REACHED, expected_at, fits, outcome

Write = Callable[[Sound], str]


def of_program(ears: RecognitionPipeline) -> Write:
    """What the program itself writes of what it refuses."""
    from doorround.hearing.session.question_grammar import grammar_now

    allowed = grammar_now(load_understanding(), expected_at("frame.here"))

    def write(sound: Sound) -> str:
        return ears.score_phrases(detect_speech(sound), allowed).write()

    return write


def of_whisper(folder: str) -> Write:
    from faster_whisper import WhisperModel

    model = WhisperModel(folder, device="cpu", compute_type="int8", cpu_threads=2)

    def write(sound: Sound) -> str:
        found, _ = model.transcribe(sound.samples, language="en", beam_size=1, temperature=0.0)
        return " ".join(each.text.strip() for each in found)

    return write


def measured(name: str, write: Write, given: argparse.Namespace) -> Iterator[str]:
    second = Understanding(load_checklist())
    for noise in (False, True):
        reached: dict[str, list[bool]] = defaultdict(list)
        slips = words = 0
        spent = 0.0
        for place, row, voice, noisy in cases(given):
            if noisy is not noise:
                continue
            sound = sounds(row["words"], voice, noisy, place)
            began = time.perf_counter()
            text = write(sound)
            spent += time.perf_counter() - began
            allowed = expected_at(row["question"])
            found = second.understand(allowed.open, text, allowed).as_spoken()
            state = outcome(found, lambda meaning, row=row: fits(row["expected"], meaning))
            reached[row["expected"]].append(state in REACHED)
            right = split_words(row["words"])
            slips += Levenshtein.distance(right, split_words(text))
            words += len(right)
        told = ", ".join(f"{kind} {sum(each)}/{len(each)}" for kind, each in reached.items())
        clips = sum(map(len, reached.values()))
        yield (
            f"{name:<10} {'pink 10 dB' if noise else 'quiet':<10} {told}; words wrong "
            f"{100 * slips / words:.0f} %; {spent / clips:.2f} s a clip"
        )


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--said", type=Path, required=True)
    parser.add_argument("--model", action="append", default=[])
    parser.add_argument("--each", type=int, default=16)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--voice", action="append")
    given = parser.parse_args()
    given.noise = True
    writers: dict[str, Write] = {"program": of_program(EngineLoader(read_settings())())}
    for each in given.model:
        name, _, folder = each.partition("=")
        writers[name] = of_whisper(folder)
    print(f"{len(rows(given.said, given.each, given.seed))} answers")
    for name, write in writers.items():
        for line in measured(name, write, given):
            print(line, flush=True)


if __name__ == "__main__":
    main()
