"""How long `logbook show` takes for some thousand entries, beside walking their chain once.

python -m tests.benchmarks.bench_show
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory
from time import process_time

from doorround.logbook.listing import show_lines
from doorround.logbook.store import Logbook
from tests.benchmarks.year import Year


def main() -> None:
    """Print seconds of processor time for each, and the ratio."""
    with TemporaryDirectory() as folder:
        Year(Path(folder), doors=60, days=120, seed=1).run()
        with Logbook.open(Path(folder) / "year.db", "Europe/London") as book:
            begin = process_time()
            assert book.verify() == []
            walked = process_time()
            lines = sum(1 for _ in show_lines(book))
            shown = process_time()
            entries = book.last_seq()
    each = (shown - walked) / entries * 15_000
    print(f"{entries} entries, {lines} lines: {(shown - walked) / (walked - begin):.1f} times the")
    print(f"walk of the chain; {each:.2f} s for 15,000 entries on this machine")


if __name__ == "__main__":
    main()
