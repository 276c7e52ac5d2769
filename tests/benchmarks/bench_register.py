"""Recognition of door names in registers of several sizes: which checks start, which doors are
asked about, and the time taken.

Run: python -m tests.benchmarks.bench_register [--each 60] [--engine auto] [--noise 10]

Names are drawn at random from the register, number by number and place by place, and spoken by the
dev extra's synthesiser, each at its own speed and pitch. --noise: signal-to-noise ratio of pink
noise in dB; without it, quiet.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import Counter
from pathlib import Path

import numpy as np

from doorround.config.resources import pronunciations
from doorround.domain.door import Door
from doorround.domain.door_reference import DoorReference
from doorround.hearing.decision.engine_choice import choose_engines
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex, number_ways
from doorround.wiring import load_understanding
from tests.benchmarks.bench_questions import voice
from tests.benchmarks.noise import mixed, pink

SEED = 11
PLACES = (
    "stair A",
    "stair B",
    "kitchen corridor",
    "by the lift",
    "east corridor",
    "plant room",
    "post room",
    "west lobby",
)


def register(size: int) -> list[Door]:
    """Doors "3.07" and the like, so many a floor that the numbers are dense, as they are in
    buildings.
    """
    a_floor = max(5, min(99, size // 10))
    return [
        Door(
            number=f"{1 + i // a_floor}.{1 + i % a_floor:02d}",
            floor=str(1 + i // a_floor),
            place=PLACES[i % 8],
        )
        for i in range(size)
    ]


def memory() -> float:
    """Megabytes that this process holds now."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6


def heard(
    which: DoorResolver, ear: RecognitionPipeline, said: list[tuple[Door, str]], noise: float | None
) -> tuple[Counter[str], list[float]]:
    """What became of each name said, and the seconds each took."""
    became = Counter[str]()
    seconds = []
    draw = np.random.default_rng(SEED)
    for door, words in said:
        sound = voice(words)
        if noise is not None:
            sound = mixed(sound, pink(len(sound.samples), draw), noise)
        began = time.perf_counter()
        found = which.hear(ear, sound)
        seconds.append(time.perf_counter() - began)
        if not isinstance(found, DoorReference):
            became["not understood"] += 1
        elif found.sure:
            became["begun" if found.doors == (door,) else "begun WRONG"] += 1
        else:
            became["asked, with it" if door in found.doors else "asked, without it"] += 1
    return became, seconds


def main() -> None:
    """Measure and print one line a size."""
    options = argparse.ArgumentParser()
    options.add_argument("--each", type=int, default=60)
    options.add_argument("--engine", default="auto")
    options.add_argument("--noise", type=float)
    options.add_argument(
        "--seed", type=int, default=SEED, help="which names are drawn; FITS was set with 11"
    )
    options.add_argument("--sizes", type=int, nargs="*", default=[50, 1000, 10_000])
    given = options.parse_args()
    ear = choose_engines(Path("models"), given.engine, pronunciations=pronunciations()).pipeline
    for size in given.sizes:
        doors = register(size)
        draw = random.Random(given.seed)
        before = memory()
        began = time.perf_counter()
        which = DoorResolver(NameIndex(doors, load_understanding().grammar_set))
        whole = which.grammar.active_grammar(ear).acceptor
        assert whole is not None
        ready = time.perf_counter() - began
        said = [
            (door, draw.choice(number_ways(door.number)))
            for door in draw.choices(doors, k=given.each)
        ]
        became, seconds = heard(
            which,
            ear,
            [(d, f"door {w}" if i % 2 else w) for i, (d, w) in enumerate(said)],
            given.noise,
        )
        counts = ", ".join(f"{what} {count}" for what, count in became.most_common())
        print(
            f"{size} doors: ready in {ready:.1f} s, {len(whole().expanded.arcs)} arcs,"
            f" {memory() - before:.0f} MB; {np.median(seconds) * 1000:.0f} ms a name (worst"
            f" {max(seconds) * 1000:.0f}); {counts}"
        )


if __name__ == "__main__":
    main()
