"""Processor time of each stage of a voice turn.

Run: python -m tests.benchmarks.bench_stages --said FILE [--each 4] [--noise] [--kind off_grammar]

FILE, voices and noise as for bench_own_words. Only turns with the outcome --kind count: rejected
ones, which are slowest, or "heard". Each stage's figure is the processor time of its own thread,
without the stages nested in it, so nothing is counted twice and a busy machine does not matter.
Workers are warmed up first. The first listener's encoder runs in a thread of its library, so it is
in the remainder.
"""

from __future__ import annotations

import argparse
import threading
import time
from collections import defaultdict
from collections.abc import Callable
from functools import wraps
from pathlib import Path
from typing import Any

from doorround.hearing.audio import vad
from doorround.hearing.decision import engine_ensemble, rescoring
from doorround.hearing.engines.beam_search import BeamSearch
from doorround.hearing.engines.internal_lm import InternalLmPrior
from doorround.hearing.engines.moonshine_engine import MoonshineEngine
from doorround.hearing.engines.whisper_decoder import WhisperDecoder
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.session import turn_recogniser
from tests.benchmarks.bench_own_words import Trials, acted_on, cases, sounds

STAGES: tuple[tuple[Any, str, str], ...] = (
    (vad, "speech_probabilities", "VAD"),
    (WhisperEngine, "_encode", "first listener: sound taken in"),
    (WhisperEngine, "search", "first listener: search"),
    (BeamSearch, "_search", "first listener: search"),
    (WhisperDecoder, "step", "first listener: decoder steps"),
    (WhisperDecoder, "logs", "first listener: token weights"),
    (InternalLmPrior, "_learn", "first listener: priors"),
    (MoonshineEngine, "_encoded", "second listener: sound taken in"),
    (MoonshineEngine, "_decoded", "second listener: decoder"),
    (MoonshineEngine, "_sums", "second listener: sums"),
    (engine_ensemble, "rescore", "rescoring, phrases read"),
    (rescoring, "competitors_of", "competitors"),
    (turn_recogniser, "grammar_now", "grammar"),
)

Spent = dict[str, float]


def watch(spent: Spent) -> None:
    """Let every stage add what it takes to `spent`."""
    here = threading.local()

    def timed(call: Callable[..., Any], stage: str) -> Callable[..., Any]:
        @wraps(call)
        def run(*given: Any, **named: Any) -> Any:
            within: list[float] = here.__dict__.setdefault("within", [])
            began = time.thread_time()
            within.append(0.0)
            try:
                return call(*given, **named)
            finally:
                took = time.thread_time() - began
                spent[stage] += took - within.pop()
                if within:
                    within[-1] += took

        return run

    for home, name, stage in STAGES:
        setattr(home, name, timed(getattr(home, name), stage))


def options() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--said", type=Path, required=True)
    parser.add_argument("--each", type=int, default=4)
    parser.add_argument("--seed", type=int, default=7)
    parser.add_argument("--voice", action="append")
    parser.add_argument("--noise", nargs="?", const="too", choices=("too", "alone"))
    parser.add_argument("--kind", choices=("off_grammar", "heard"), default="off_grammar")
    return parser.parse_args()


def main() -> None:
    given = options()
    spent: Spent = defaultdict(float)
    watch(spent)
    trials = Trials()
    whole: Spent = defaultdict(float)
    total = length = 0.0
    turns = 0
    for place, row, voice, noise in cases(given):
        sound = sounds(row["words"], voice, noise, place)
        trials.warm(row["question"])
        spent.clear()
        began = time.process_time()
        heard = trials.hear(sound, row["question"])
        listened = time.process_time()
        acted_on(heard, row["question"], trials.second)
        spent["second understanding"] += time.process_time() - listened
        if heard.kind == given.kind:
            turns += 1
            total += time.process_time() - began
            length += sound.seconds
            for stage, took in spent.items():
                whole[stage] += took
    whole["left over"] = total - sum(whole.values())
    print(f"{turns} turns, processor time / length {total / length:.3f}; of it")
    for stage, took in sorted(whole.items(), key=lambda each: -each[1]):
        print(f"{stage:<32} {100 * took / total:5.1f} %  {1000 * took / turns:6.0f} ms a turn")


if __name__ == "__main__":
    main()
