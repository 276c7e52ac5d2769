"""Speed of a large logbook: PYTHONPATH=. python tests/benchmarks/bench_logbook.py

Builds a logbook of --doors doors and about --entries entries in a temporary folder, and times the
queries made at a door and at a desk. Each time has a baseline from the same run: the same rows in a
plain table keyed by the query (for lookups and the register), or the same turns stored in an empty
logbook (for writing). Nothing is asserted; tests/unit/test_logbook_plans.py checks the query plans.
"""

from __future__ import annotations

import argparse
import random
import resource
import statistics
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Prompt
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.store import Logbook
from tests.benchmarks.invented_entries import START, a_door, an_answer, build, small_checklist


def plain_tables(logbook: Logbook) -> None:
    """The baseline: what the views say, copied into tables keyed by what is asked."""
    conn = logbook._db.conn
    conn.execute("CREATE TABLE plain_doors (number TEXT PRIMARY KEY, door TEXT) STRICT")
    conn.execute("INSERT INTO plain_doors SELECT number, door FROM doors")
    conn.execute(
        "CREATE TABLE plain_last (number TEXT PRIMARY KEY, check_id TEXT, signed TEXT) STRICT"
    )
    conn.execute("INSERT INTO plain_last SELECT number, check_id, signed FROM last_checks")


def seconds(call: Callable[[], object]) -> float:
    began = time.perf_counter()
    call()
    return time.perf_counter() - began


def median(calls: list[Callable[[], object]]) -> float:
    return statistics.median(seconds(call) for call in calls)


def line(name: str, ours: float, base: float, baseline: str) -> None:
    print(
        f"{name:<34}{ours * 1000:>11.3f} ms {base * 1000:>11.3f} ms {ours / base:>8.1f}× "
        f" {baseline}"
    )


def lookups(logbook: Logbook, doors: int, dice: random.Random) -> None:
    some = [a_door(dice.randrange(doors)) for _ in range(500)]
    rows = logbook._rows
    line(
        "door(number)",
        median([lambda door=door: logbook.door(door.number) for door in some]),
        median(
            [
                lambda door=door: Door.model_validate_json(
                    rows("SELECT door FROM plain_doors WHERE number = ?", door.number)[0][0]
                )
                for door in some
            ]
        ),
        "the same door from a table keyed by number",
    )
    line(
        "last check of a door (id)",
        median(
            [
                lambda door=door: rows(
                    "SELECT check_id FROM last_checks WHERE number = ? AND site = ? AND building"
                    " = ''",
                    door.number,
                    door.site,
                )
                for door in some
            ]
        ),
        median(
            [
                lambda door=door: rows(
                    "SELECT check_id FROM plain_last WHERE number = ?", door.number
                )
                for door in some
            ]
        ),
        "the same id from a table keyed by number",
    )
    check = [f"c{dice.randrange(1000)}" for _ in range(200)]
    line(
        "answers(check)",
        median([lambda id=id: logbook.answers(id) for id in check]),
        median([lambda id=id: logbook.entries(check=id) for id in check]),
        "entries(check), the same rows unjudged",
    )


def whole(logbook: Logbook) -> None:
    rows = logbook._rows
    plain = seconds(lambda: rows("SELECT door FROM plain_doors"))
    line(
        "doors view, rows only",
        seconds(lambda: rows("SELECT door FROM doors")),
        plain,
        "plain table, rows only",
    )
    parsed = seconds(
        lambda: [Door.model_validate_json(row[0]) for row in rows("SELECT door FROM plain_doors")]
    )
    line("doors(), as values", seconds(logbook.doors), parsed, "plain table, as values")
    plain = seconds(lambda: rows("SELECT * FROM plain_last"))
    line(
        "last checks of all doors",
        seconds(lambda: rows("SELECT * FROM last_checks")),
        plain,
        "plain table",
    )
    raw = seconds(lambda: [None for _ in logbook._db.conn.execute("SELECT * FROM entries")])
    line("verify()", seconds(logbook.verify), raw, "reading every row once")


def keeping(logbook: Logbook, talk: str, door: Door, id: str) -> float:
    """Median seconds of one kept turn with one answer, fsync included."""
    check = Check(id=id, door=door, person="p", checklist=small_checklist(), started=START)
    start = Entry(
        kind=EntryKind.CHECK_STARTED,
        at=START,
        person="p",
        door=door.number,
        check=id,
        body={"checklist": "b"},
    )
    logbook.begin(talk, Turn(check, (), (start,)))
    turns = []
    for nth in range(200):
        body = an_answer(nth, START).model_dump(mode="json")
        entry = Entry(
            kind=EntryKind.ANSWERED, at=START, person="p", door=door.number, check=id, body=body
        )
        turns.append(Turn(check, (Prompt(text="Next."),), (entry,)))
    return median(
        [lambda n=n, turn=turn: logbook.keep(talk, f"m{n}", turn) for n, turn in enumerate(turns)]
    )


def main() -> None:
    asked = argparse.ArgumentParser()
    asked.add_argument("--doors", type=int, default=100_000)
    asked.add_argument("--entries", type=int, default=1_000_000)
    asked.add_argument("--plans", action="store_true", help="print SQLite's plans too")
    given = asked.parse_args()
    dice = random.Random(7)
    with (
        tempfile.TemporaryDirectory() as folder,
        Logbook.open(Path(folder) / "large.db") as logbook,
    ):
        took = seconds(lambda: build(logbook, given.doors, given.entries, dice))
        size = logbook.path.stat().st_size
        print(
            f"{given.doors} doors, {logbook.head().count} entries, {size / 1e6:.0f} MB, built in"
            f" {took:.0f} s\n"
        )
        plain_tables(logbook)
        print(f"{'':<34}{'ours':>14} {'baseline':>14} {'ratio':>9}")
        lookups(logbook, given.doors, dice)
        with Logbook.open(Path(folder) / "empty.db") as empty:
            empty.add_door(a_door(1), "m", START)
            small = keeping(empty, "bench", a_door(1), "x1")
        line(
            "keep(turn), one answer",
            keeping(logbook, "bench", a_door(1), "x1"),
            small,
            "the same, empty logbook",
        )
        whole(logbook)
        if given.plans:
            print_plans(logbook)
    print(f"\npeak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def print_plans(logbook: Logbook) -> None:
    for sql in (
        "SELECT door FROM doors",
        "SELECT door FROM doors WHERE number = '14'",
        (
            "SELECT check_id FROM last_checks WHERE number = '14' AND site = 'site 14' AND building"
            " = ''"
        ),
    ):
        print(f"\n{sql}")
        for step in logbook._rows(f"EXPLAIN QUERY PLAN {sql}"):
            print(f"    {step[3]}")


if __name__ == "__main__":
    main()
