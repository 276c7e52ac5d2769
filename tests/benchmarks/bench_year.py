"""A simulated year of a large estate, with invariants checked every day: python -m
tests.benchmarks.bench_year --doors 400
"""

from __future__ import annotations

import argparse
import tempfile
import time
from pathlib import Path

from tests.benchmarks.year import Year


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--doors", type=int, default=400)
    asked.add_argument("--days", type=int, default=365)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        began = time.process_time()
        figures = Year(Path(folder), given.doors, given.days, given.seed).run()
        took = time.process_time() - began
        print(
            f"{given.doors} doors, {given.days} days, seed {given.seed}: {took:.0f} s of processor"
            " time"
        )
        for name, number in sorted(figures.items()):
            print(f"{name:<24}{number:>8}")


if __name__ == "__main__":
    main()
