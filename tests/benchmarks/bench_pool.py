"""Several chats at once: seconds of audio recognised per second, and memory, for each layout of the
engines.

Run: python -m tests.benchmarks.bench_pool [--rounds 2]

Processes each of the demo's recordings completely (VAD, both listeners, interpretation) at a
question that it may answer. Each layout runs in its own process, so that its memory is measured
separately; "one thread" is the baseline of the same run. Memory: resident, of all processes, above
what the program uses before an engine is loaded.
"""

from __future__ import annotations

import argparse
import asyncio
import multiprocessing
import time
from collections.abc import Callable
from concurrent.futures import Executor, ProcessPoolExecutor, ThreadPoolExecutor
from functools import partial
from multiprocessing import get_context
from pathlib import Path
from threading import local
from typing import Any

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.sound import Sound
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.engines.moonshine_engine import MoonshineEngine
from doorround.hearing.engines.whisper_engine import WhisperEngine
from doorround.hearing.model_files.weights import find_second, find_weights
from doorround.hearing.session.recognition_worker import AtQuestion
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.hearing.session.worker_pool import Pool
from doorround.wiring import load_understanding, make_engines

VOICE = Path(__file__).parents[2] / "demo_conversations" / "voice"
AT = ("seals", "clear", "hinges.fixings", "closer.full")

_here = local()
_shared: dict[str, Any] = {}


def memory() -> float:
    """Megabytes that this process holds."""
    return int(Path("/proc/self/statm").read_text().split()[1]) * 4096 / 1e6


def second() -> MoonshineEngine:
    folder = find_second()
    assert folder is not None, "the extra listener is not installed"
    return MoonshineEngine(folder)


def listener() -> WhisperEngine:
    folder = find_weights(Path("models"))
    assert folder is not None, "the extra listener is not installed"
    return WhisperEngine(folder)


def own_everything() -> RecognitionPipeline:
    return RecognitionPipeline(None, listener(), second=second())


def shared_listeners() -> RecognitionPipeline:
    """An ear of this thread's own on listeners that are shared."""
    return RecognitionPipeline(None, _shared["listener"], second=_shared["second"])


def work() -> list[tuple[str, str]]:
    """Recording and question, in turn."""
    paths = sorted(VOICE.glob("*.ogg"))
    return [(str(path), AT[place % len(AT)]) for place, path in enumerate(paths)]


def heard(one: tuple[str, str]) -> float:
    """Hear one recording with this worker's ear; its length in seconds."""
    sound = _sound(one[0])
    recognise_turn(_here.pipeline, load_understanding(), sound, _wanted(one[1]).expected)
    return sound.seconds


def _sound(path: str) -> Sound:
    kept: dict[str, Sound] = _shared.setdefault("sounds", {})
    if path not in kept:
        kept[path] = load_sound(Path(path))
    return kept[path]


def ready(make: Callable[[], RecognitionPipeline]) -> None:
    """Give this worker its ear, and let it hear everything once: grammars are compiled and kept."""
    _here.pipeline = make()
    for one in work():
        heard(one)


def held(_nothing: int) -> float:
    time.sleep(0.2)  # so that each worker of a pool gets one of these
    return memory()


def measure(layout: str, rounds: int) -> tuple[float, float]:
    """Audio seconds a second, and megabytes over the program's own, of one layout.

    In a process of its own.
    """
    load_understanding()
    before = memory()
    pool: Executor
    if layout == "two processes":
        pool = ProcessPoolExecutor(2, get_context("spawn"), ready, (own_everything,))
    else:
        shared = layout == "two threads, listeners shared"
        if shared:
            _shared.update(listener=listener(), second=second())
        make = shared_listeners if shared else own_everything
        pool = ThreadPoolExecutor(
            1 if layout == "one thread" else 2, initializer=ready, initargs=(make,)
        )
    with pool:
        workers = 1 if layout == "one thread" else 2
        list(pool.map(held, range(workers)))
        jobs = work() * rounds
        began = time.perf_counter()
        seconds = sum(pool.map(heard, jobs))
        took = time.perf_counter() - began
        inside = list(pool.map(held, range(workers)))
    return seconds / took, sum(inside) - before if layout == "two processes" else memory() - before


def _children() -> float:
    """Megabytes that the processes begun from here hold."""
    held = 0.0
    for child in multiprocessing.active_children():
        held += int(Path(f"/proc/{child.pid}/statm").read_text().split()[1]) * 4096 / 1e6
    return held


async def through_the_pool(rounds: int) -> tuple[float, float]:
    """The same by the pool itself, decoding and sending to and fro included."""
    files = {path: Path(path).read_bytes() for path, _ in work()}
    lengths = {path: load_sound(Path(path)).seconds for path in files}
    asked = [(path, _wanted(question)) for path, question in work()]
    async with Pool(partial(make_engines, Path("models"), "auto"), 2, len(asked) * rounds) as pool:
        await asyncio.gather(*(pool.hear(files[path], wanted) for path, wanted in asked * 2))
        began = time.perf_counter()
        await asyncio.gather(*(pool.hear(files[path], wanted) for path, wanted in asked * rounds))
        took = time.perf_counter() - began
        return sum(lengths[path] for path, _ in asked) * rounds / took, _children()


def _wanted(key: str) -> AtQuestion:
    question = load_checklist().ask(key)
    others = tuple(each for each in load_checklist().question if each.key != key)
    return AtQuestion(ExpectedInput(Stage.ASKING, question, others, parts=(question, *others)))


LAYOUTS = (
    "one thread",
    "two threads, listeners shared",
    "two threads, two listeners",
    "two processes",
)


def _apart(layout: str, rounds: int, answer: Any) -> None:
    answer.put(measure(layout, rounds))


def main() -> None:
    """Measure each layout and print one line."""
    options = argparse.ArgumentParser()
    options.add_argument("--rounds", type=int, default=2)
    given = options.parse_args()
    base = 0.0
    for layout in LAYOUTS:
        answer: Any = multiprocessing.get_context("spawn").Queue()
        apart = multiprocessing.get_context("spawn").Process(
            target=_apart, args=(layout, given.rounds, answer)
        )
        apart.start()
        speed, megabytes = answer.get()
        apart.join()
        base = base or speed
        print(
            f"{layout}: {speed:.1f} s of audio a second ({speed / base:.2f} of one thread),"
            f" {megabytes:.0f} MB"
        )
    speed, megabytes = asyncio.run(through_the_pool(given.rounds))
    print(
        f"the pool: {speed:.1f} s of audio a second ({speed / base:.2f} of one thread),"
        f" {megabytes:.0f} MB, all of it"
    )


if __name__ == "__main__":
    main()
