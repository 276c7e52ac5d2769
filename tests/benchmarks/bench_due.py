"""Speed of a large estate's due list: python -m tests.benchmarks.bench_due

Builds a logbook of --doors doors, each with a check of its own (begun, two answers, signed: with
the real entries and triggers), so that about --share of them are due, and times the list. The
baseline from the same run only reads every row of the same table. Nothing is asserted.
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

from doorround.domain.answers import Answer
from doorround.domain.door import Door, Use
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import By
from doorround.domain.schedule.due import DueState, due_list
from doorround.domain.schedule.intervals import Intervals
from doorround.domain.values import Condition
from doorround.logbook.due import doors_due
from doorround.logbook.store import Logbook
from tests.benchmarks.bench_logbook import small_checklist

START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
TODAY = date(2026, 6, 3)
USES = (Use.CORRIDOR, Use.STAIR, Use.CUPBOARD, Use.RISER, Use.OFFICE, Use.FLAT_ENTRANCE)


def a_door(nth: int) -> Door:
    site, within = divmod(nth, 400)
    floor = within // 40
    return Door(
        number=f"{floor}{within % 40 + 1:02d}",
        site=f"site {site}",
        building="main" if within < 200 else "annexe",
        floor=f"floor {floor}" if floor else "ground floor",
        use=USES[nth % len(USES)],
        place=("stair A", "stair B", "")[nth % 3],
    )


def build(logbook: Logbook, count: int, share: float, dice: random.Random) -> None:
    """The doors and their checks through the logbook's own insert, chain and triggers and all."""
    checked = datetime(2026, 6, 2, 9, tzinfo=UTC)
    for first in range(0, count, 10_000):
        with logbook.writing():
            wording = logbook._keep_checklist(small_checklist())
            doors = [a_door(nth) for nth in range(first, min(first + 10_000, count))]
            logbook._enter(
                Entry(
                    kind=EntryKind.DOOR_ADDED,
                    at=START,
                    person="m",
                    door=door.number,
                    body=door.model_dump(mode="json"),
                )
                for door in doors
            )
            for nth, door in enumerate(doors, first):
                at = checked - timedelta(days=400 if dice.random() < share else 1)
                logbook._enter(a_check(nth, door, wording, at))


def a_check(nth: int, door: Door, wording: str, at: datetime) -> list[Entry]:
    """The entries of one signed check in which all was well."""
    more = {"at": at, "person": "Ines", "door": door.number, "check": f"c{nth}"}
    place = {
        "site": door.site,
        "building": door.building,
        "checklist": "bench",
        "checklist_hash": wording,
    }
    entries = [Entry(kind=EntryKind.CHECK_STARTED, body=place, **more)]
    for part in ("hinges", "seals"):
        said = Answer(
            id=f"{part}#1",
            question=part,
            component=part,
            value=Condition(),
            heard="x",
            probability=1,
            by=By.TAP,
            engine="bench",
            at=at,
        )
        entries.append(Entry(kind=EntryKind.ANSWERED, body=said.model_dump(mode="json"), **more))
    body = {"verdict": "sound", "answers": 2, "not_checked": []}
    return [*entries, Entry(kind=EntryKind.SIGNED, body=body, **more)]


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
    with (
        tempfile.TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "estate.db", "Europe/London") as logbook,
    ):
        began = time.perf_counter()
        build(logbook, given.doors, given.share, random.Random(5))
        print(
            f"{given.doors} doors, {logbook.head().count} entries, built in"
            f" {time.perf_counter() - began:.0f} s"
        )
        plain = median(lambda: [None for _ in logbook._rows("SELECT * FROM door_status")])
        now = datetime(2026, 6, 3, 9, tzinfo=UTC)
        read = median(lambda: doors_due(logbook, Intervals(), TODAY, now))
        doors = doors_due(logbook, Intervals(), TODAY, now)
        found = due_list(doors, Intervals(), TODAY)
        listed = median(lambda: due_list(doors, Intervals(), TODAY))
        late = sum(each.when is not DueState.THIS_WEEK for each in found)
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
