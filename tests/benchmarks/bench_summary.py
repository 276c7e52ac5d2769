"""Time of a summary on a logbook of 15,000 entries, compared with one of a quarter of them: a
summary covers a day, a week or a month, and must not slow down as the logbook grows.

python -m tests.benchmarks.bench_summary [--entries 15000] [--runs 5]
"""

from __future__ import annotations

import argparse
import time
from pathlib import Path
from tempfile import TemporaryDirectory
from zoneinfo import ZoneInfo

from doorround.domain.schedule.plan import Plan
from doorround.logbook.store import Logbook
from doorround.reports.summary import Frequency, report
from tests.benchmarks.bench_show import fill


def seconds(path: Path, every: Frequency, runs: int) -> float:
    """Processor time of the summary that ends with the logbook's last day, the best of some runs
    after one that is not counted.
    """
    with Logbook.open(path, "Europe/London") as logbook:
        [last] = logbook.entries(after=logbook.last_seq() - 1)
        day = last.at.astimezone(ZoneInfo("Europe/London")).date()
        taken = []
        for _ in range(runs + 1):
            began = time.process_time()
            report(logbook, Plan(), every, day, None)
            taken.append(time.process_time() - began)
        return min(taken[1:])


def main() -> None:
    """Print both times and their ratio, of each summary."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=15_000)
    options.add_argument("--runs", type=int, default=5)
    given = options.parse_args()
    with TemporaryDirectory() as folder:
        few, all_of_them = Path(folder) / "few.db", Path(folder) / "all.db"
        counts = fill(few, given.entries // 4), fill(all_of_them, given.entries)
        print(f"{counts[1]} entries beside {counts[0]}, {counts[1] / counts[0]:.1f} times as many")
        for every in Frequency:
            short, long = (seconds(path, every, given.runs) for path in (few, all_of_them))
            print(f"{every:8} {long:6.3f} s beside {short:6.3f} s: {long / short:.1f} times")


if __name__ == "__main__":
    main()
