"""Start-up time of the program: python -m tests.benchmarks.bench_start

Runs `doorround --help` and `python -c pass` alternately, and prints the median of each in processor
time and wall-clock time, and their ratio. Nothing is asserted: on a busy machine the wall clock
shows how busy it is.
"""

from __future__ import annotations

import argparse
import os
import resource
import statistics
import subprocess
import sys
import time

CALLS = {
    "python -c pass": ["-c", "pass"],
    "doorround --help": ["-c", "from doorround.cli.app import main; main()", "--help"],
    "doorround doors --help": [
        "-c",
        "from doorround.cli.app import main; main()",
        "doors",
        "--help",
    ],
}


def run_once(words: list[str]) -> tuple[float, float]:
    """Seconds of the processor and by the clock."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    since = time.perf_counter()
    subprocess.run([sys.executable, *words], stdout=subprocess.DEVNULL, env=os.environ, check=True)
    took = time.perf_counter() - since
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    used = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return used, took


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--times", type=int, default=15)
    times = parser.parse_args().times
    found: dict[str, list[tuple[float, float]]] = {name: [] for name in CALLS}
    for _ in range(times):
        for name, words in CALLS.items():
            found[name].append(run_once(words))
    base = statistics.median(used for used, _ in found["python -c pass"])
    for name, each in found.items():
        used = statistics.median(used for used, _ in each)
        took = statistics.median(took for _, took in each)
        print(f"{name:<24} {used:.3f} s of the processor, {took:.3f} s, {used / base:.1f} times")


if __name__ == "__main__":
    main()
