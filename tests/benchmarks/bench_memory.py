"""Total memory and processor time of a command and all its child processes: python -m
tests.benchmarks.bench_memory COMMAND …, by default the pytest command of `make test`.

Every half second, the memory of all its processes is summed (PSS from /proc/PID/smaps_rollup, which
counts shared memory once). Prints the largest sum, with the processes that made it up. Linux only.
Nothing is asserted.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

EVERY_S = 0.5
NAMED = 8
TESTS = [sys.executable, "-m", "pytest", "-n", "auto", "--dist", "loadfile"]
TESTS += ["--no-loadscope-reorder"]


@dataclass(frozen=True)
class Share:
    """What one process holds, in MB, and how it was called."""

    held_mb: float
    called: str


def parents() -> dict[int, int]:
    """Every process that runs here, and what started it."""
    found = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            # the name stands in brackets and may hold some itself
            fields = stat.read_text(errors="replace").rpartition(")")[2].split()
        except OSError:  # it has ended
            continue
        found[int(stat.parent.name)] = int(fields[1])
    return found


def family(top: int) -> list[int]:
    """A process and all that it started, they too."""
    started: dict[int, list[int]] = {}
    for child, parent in parents().items():
        started.setdefault(parent, []).append(child)
    found = [top]
    for each in found:
        found += started.get(each, [])
    return found


def share_of(process: int) -> Share | None:
    """None: it has ended."""
    folder = Path("/proc") / str(process)
    try:
        lines = (folder / "smaps_rollup").read_text().splitlines()
        called = (folder / "cmdline").read_bytes().replace(b"\0", b" ").decode(errors="replace")
    except OSError:
        return None
    held_kb = sum(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
    return Share(held_kb / 1024, called.strip()[-70:])


def shares(top: int) -> list[Share]:
    """The greatest first."""
    found = [share for each in family(top) if (share := share_of(each))]
    return sorted(found, key=lambda share: -share.held_mb)


def measure(words: list[str]) -> tuple[int, list[Share]]:
    """The code with which the command ended, and its processes when they held most."""
    most: list[Share] = []
    with subprocess.Popen(words) as running:
        while running.poll() is None:
            now = shares(running.pid)
            if sum(each.held_mb for each in now) > sum(each.held_mb for each in most):
                most = now
            time.sleep(EVERY_S)
    return running.returncode, most


def main() -> None:
    """Run the command, print the figures, end as it ended."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("command", nargs=argparse.REMAINDER)
    words = parser.parse_args().command or TESTS
    if not Path("/proc/self/smaps_rollup").exists():
        sys.exit("Memory is read from /proc, which only Linux has. Run it there.")
    since = time.monotonic()
    code, most = measure(words)
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    print(f"{time.monotonic() - since:.0f} s by the clock,", end=" ")
    print(f"{used.ru_utime + used.ru_stime:.0f} s of the processor,", end=" ")
    print(f"at most {sum(each.held_mb for each in most):.0f} MB, in {len(most)} processes:")
    for each in most[:NAMED]:
        print(f"{each.held_mb:8.0f} MB  {each.called}")
    sys.exit(code)


if __name__ == "__main__":
    main()
