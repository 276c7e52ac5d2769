"""Time of a voice turn during a round: a door's questions in order, each answered once, by one
worker.

Run: python -m tests.benchmarks.bench_turn [--seed 303] [--doors 2]

Each turn is measured completely: decoding, grammar, both listeners, interpretation. Times are
fractions of the recordings' length. "At once" is measured directly after the start, "learnt ahead"
after the worker has been idle long enough. The second door's answers use other words. Other voices
come from DOORROUND_SPEECH. Each row runs in its own process; its memory excludes the synthesiser.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.recognition_worker import AtQuestion, WorkerRecogniser
from doorround.hearing.session.warm_up import warm_up
from doorround.wiring import make_engines
from tests.benchmarks.bench_noise import wav
from tests.benchmarks.bench_questions import noisy, other_voices, phrases, voice

Turn = tuple[str, bytes, float]
"""Question, recording, its seconds."""


def rounds(doors: int, seed: int) -> dict[str, list[list[Turn]]]:
    """For each kind of noise the turns of so many doors."""
    pool = other_voices()
    drawn = np.random.default_rng(seed)
    said: dict[str, list[str]] = {}
    for key, phrase in phrases(doors, seed):
        said.setdefault(key, []).append(" ".join(split_words(phrase)))
    found: dict[str, list[list[Turn]]] = {}
    for door in range(doors):
        for key, ways in said.items():
            for kind, sound in noisy(voice(ways[door % len(ways)]), pool, drawn):
                turns = found.setdefault(kind, [[] for _ in range(doors)])
                turns[door].append((key, wav(sound), sound.seconds))
    return found


def memory() -> float:
    """Megabytes that this process holds."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6


def measure(
    doors: Sequence[Sequence[Turn]], learn: bool
) -> tuple[float, list[tuple[float, float]], float]:
    """Seconds spent learning ahead; each door's share and its dearest turn's seconds; megabytes.

    In a fresh process.
    """
    checklist = load_checklist()
    engines = make_engines(Path("models-not-looked-at"), "auto")
    hearing = WorkerRecogniser(engines, 180.0)
    began = time.perf_counter()
    for _ in warm_up(*engines, checklist) if learn else ():
        pass
    learning = time.perf_counter() - began
    shares = []
    for turns in doors:
        took = []
        for place, (key, bytes_, _) in enumerate(turns):
            others = tuple(checklist.ask(each) for each, *_ in turns[place + 1 :])
            last = tuple(checklist.ask(each) for each, *_ in turns[max(0, place - 1) : place])
            now = ExpectedInput(
                Stage.ASKING, checklist.ask(key), others, last, parts=checklist.question
            )
            began = time.perf_counter()
            hearing.hear(bytes_, AtQuestion(now))
            took.append(time.perf_counter() - began)
        shares.append((sum(took) / sum(seconds for *_, seconds in turns), max(took)))
    return learning, shares, memory()


def main() -> None:
    """Measure and print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seed", type=int, default=303)
    parser.add_argument("--doors", type=int, default=2)
    options = parser.parse_args()
    found = rounds(options.doors, options.seed)
    names = [f"door {door + 1}, time / length (dearest turn, s)" for door in range(options.doors)]
    print(
        "| | turns a door | " + " | ".join(names) + " | MB |\n" + "|---" * (options.doors + 3) + "|"
    )
    for learn in (False, True):
        for kind, doors in found.items():
            with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as alone:
                learning, shares, megabytes = alone.submit(measure, doors, learn).result()
            name = f"learnt ahead in {learning:.0f} s" if learn else "at once"
            cells = " | ".join(f"{share:.3f} ({dearest:.2f})" for share, dearest in shares)
            print(f"| {kind}, {name} | {len(doors[0])} | {cells} | {megabytes:.0f} |", flush=True)


if __name__ == "__main__":
    main()
