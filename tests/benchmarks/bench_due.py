"""How fast a large estate's due list is: python -m tests.benchmarks.bench_due

Builds a logbook of --doors doors, each checked once, so that about --share of them are due, and times the list. Beside
it stands a baseline of the same run: reading every row of the same table and doing no more. Nothing is asserted.
"""

from __future__ import annotations

import argparse
import random
import statistics
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from bot.domain.door import Door, Use
from bot.domain.entries import Entry, EntryKind
from bot.domain.schedule.due import When, due_list
from bot.domain.schedule.intervals import Intervals
from bot.logbook.due import doors_due
from bot.logbook.store import Logbook
from bot.logbook.turns import stamp

START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
TODAY = date(2026, 6, 3)
USES = (Use.CORRIDOR, Use.STAIR, Use.CUPBOARD, Use.RISER, Use.OFFICE, Use.FLAT_ENTRANCE)


def a_door(nth: int) -> Door:
    site, within = divmod(nth, 400)
    floor = within // 40
    return Door(
        number=f"{floor}{within % 40 + 1:02d}", site=f"site {site}", building="main" if within < 200 else "annexe",
        floor=f"floor {floor}" if floor else "ground floor", use=USES[nth % len(USES)],
        place=("stair A", "stair B", "")[nth % 3],
    )  # fmt: skip


def build(book: Logbook, count: int, share: float, dice: random.Random) -> None:
    """The doors through the logbook's own insert, triggers and all; their last checks straight into the table."""
    for first in range(0, count, 10_000):
        with book.writing():
            doors = map(a_door, range(first, min(first + 10_000, count)))
            book._enter(
                Entry(
                    kind=EntryKind.DOOR_ADDED, at=START, person="m", door=door.number, body=door.model_dump(mode="json")
                )
                for door in doors
            )
    checked = datetime(2026, 6, 2, 9, tzinfo=UTC)
    with book.writing():
        keys = book._rows("SELECT number, site, building FROM standing")
        rows = [(stamp(checked - timedelta(days=400 if dice.random() < share else 1)), *key) for key in keys]
        book._db.conn.executemany(
            "UPDATE standing SET checked = ? WHERE number = ? AND site = ? AND building = ?", rows
        )


def median(call: Callable[[], object], times: int = 5) -> float:
    """Median processor seconds of some calls: what else runs on the machine does not count."""
    took = []
    for _ in range(times):
        began = time.process_time()
        call()
        took.append(time.process_time() - began)
    return statistics.median(took)


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--doors", type=int, default=100_000)
    asked.add_argument("--share", type=float, default=0.04)
    given = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder, Logbook.open(Path(folder) / "estate.db", "Europe/London") as book:
        began = time.perf_counter()
        build(book, given.doors, given.share, random.Random(5))
        print(f"{given.doors} doors, {book.head().count} entries, built in {time.perf_counter() - began:.0f} s")
        plain = median(lambda: [None for _ in book._rows("SELECT * FROM standing")])
        now = datetime(2026, 6, 3, 9, tzinfo=UTC)
        read = median(lambda: doors_due(book, Intervals(), TODAY, now))
        doors = doors_due(book, Intervals(), TODAY, now)
        found = due_list(doors, Intervals(), TODAY)
        listed = median(lambda: due_list(doors, Intervals(), TODAY))
        late = sum(each.when is not When.THIS_WEEK for each in found)
        print(f"{late} overdue or due, {len(found) - late} more this week\n")
        print(f"{'reading every row, nothing else':<40}{plain * 1000:>8.0f} ms")
        for name, took in (
            ("the doors that may be due", read),
            ("what is due, as a walk", listed),
            ("both: the due list", read + listed),
        ):
            print(f"{name:<40}{took * 1000:>8.0f} ms {took / plain:>6.1f}×")


if __name__ == "__main__":
    main()
