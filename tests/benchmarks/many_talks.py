"""Many random talks, checked against a ledger after every line: invariants that hold whatever is
said.

    python -m tests.benchmarks.many_talks                  10,000 talks, about ten minutes
    python -m tests.benchmarks.many_talks --talks 500 --first 20000
    python -m tests.benchmarks.many_talks --chats --talks 100        through a messenger

Exits with 1 and prints the shortest failing talk if an invariant is violated.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.prepared_logbook import begin_as_copies
from tests.unit.chat_ledger import Chat
from tests.unit.talk_ledger import Broken, run


def main() -> int:
    """Drive the talks, and tell which laws did not hold."""
    asked = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    asked.add_argument("--talks", type=int, default=10_000)
    asked.add_argument("--first", type=int, default=0, help="the first talk's number")
    asked.add_argument("--chats", action="store_true", help="messages as a messenger brings them")
    given = asked.parse_args()
    begun, lines = time.perf_counter(), 0
    broken: list[str] = []
    if given.chats:
        begin_as_copies()
    for seed in range(given.first, given.first + given.talks):
        try:
            lines += _chat(seed) if given.chats else len(run(seed).lines)
        except Broken as law:
            broken.append(f"talk {seed}: {law}")
    took = time.perf_counter() - begun
    print(f"{given.talks} talks, {lines} lines said, {took:.0f} s; {len(broken)} broke a law.")
    for law, count in Counter(each.split(":")[1].strip() for each in broken).most_common():
        print(f"{count} × {law}")
    if broken:
        print(min(broken, key=len))
    return 1 if broken else 0


def _chat(seed: int) -> int:
    with tempfile.TemporaryDirectory() as home:
        return len(Chat(Path(home), seed).run().steps)


if __name__ == "__main__":
    raise SystemExit(main())
