"""Time of `doorround logbook show` for 15,000 entries: the whole command in its own process,
compared with one that only starts.

python -m tests.benchmarks.bench_show [--entries 15000] [--runs 3]
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import time
from pathlib import Path
from resource import RUSAGE_CHILDREN, getrusage
from tempfile import TemporaryDirectory

from doorround.domain.door import Use
from doorround.logbook.store import Logbook
from tests.unit import small_visit as visit

PROGRAM = [sys.executable, "-c", "from doorround.cli.app import main; main()"]
MINUTES = 30
"""From one check to the next."""


def fill(path: Path, entries: int) -> int:
    """A logbook of sixty doors and as many entries at least: checks with three answers, a note,
    a fault in one of nine. Returns how many entries.
    """
    minute = 0.0
    with Logbook.open(path, "Europe/London", lambda: visit.at(minute)) as logbook:
        logbook._db.conn.execute("PRAGMA synchronous = OFF")  # nobody pulls this plug
        doors = [visit.door(str(nth), use=Use.CORRIDOR) for nth in range(60)]
        for door in doors:
            logbook.add_door(door, "Mona", visit.at(-5))
        nth = 0
        while logbook.last_seq() < entries:
            with logbook.writing():
                for _ in range(50):
                    nth += 1
                    minute = nth * MINUTES
                    _check(logbook, doors[nth % len(doors)], nth, minute)
        return logbook.last_seq()


def _check(logbook: Logbook, door: visit.Door, nth: int, minute: float) -> None:
    turn = visit.start(door, id=f"c{nth}", person=("Ines", "Sam")[nth % 2], minute=minute)
    logbook.begin("chat", turn)
    seals = visit.PAINTED if nth % 9 == 0 else visit.SOUND
    for key, value in (
        ("hinges.count", visit.THREE),
        ("seals", seals),
        ("closer.shuts", visit.YES),
    ):
        turn = visit.answer(turn.check, key, value, minute)
        logbook.keep("chat", None, turn)
    turn = visit.note(turn.check, "the corridor was full of boxes", minute)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, minute))


def timed(home: Path, *words: str) -> tuple[float, float, int]:
    """Seconds by the clock, seconds of processor time, and lines printed."""
    before = getrusage(RUSAGE_CHILDREN)
    began = time.perf_counter()
    environment = {**os.environ, "DOORROUND_HOME": str(home), "DOORROUND_ZONE": "Europe/London"}
    done = subprocess.run([*PROGRAM, *words], env=environment, capture_output=True, check=True)
    wall = time.perf_counter() - began
    after = getrusage(RUSAGE_CHILDREN)
    worked = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return wall, worked, done.stdout.count(b"\n")


def main() -> None:
    """Print the best of some runs of each."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--entries", type=int, default=15_000)
    options.add_argument("--runs", type=int, default=3)
    given = options.parse_args()
    with TemporaryDirectory() as folder:
        home = Path(folder)
        entries = fill(home / "logbook.db", given.entries)
        for words in (("--version",), ("logbook", "show"), ("logbook", "show", "--json")):
            wall, worked, lines = min(timed(home, *words) for _ in range(given.runs))
            print(
                f"{' '.join(words):22} {wall:5.2f} s, {worked:5.2f} s of processor, {lines} lines"
            )
        print(f"{entries} entries; {os.getloadavg()[0]:.1f} processes were waiting on this machine")


if __name__ == "__main__":
    main()
