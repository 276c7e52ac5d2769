"""The full fault drill.

Run: python -m tests.benchmarks.bench_drill [--chats 10] [--checks 3] [--kills 50] [--seed 7]

Several caretakers carry out whole checks at once, by taps, typing and recordings. The server fails,
throttles, drops connections before and after processing a request, and delivers updates twice,
while the bot is killed with SIGKILL. Fails unless the logbook equals the undisturbed run's, entry
for entry, and every text reached its chat as often as in that run.
"""

from __future__ import annotations

import argparse
import asyncio
import logging
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "telegram"))

from drill import Outcome, Plan, run


async def measure(folder: Path, plan: Plan, seed: int) -> tuple[Outcome, Outcome, float, float]:
    """The undisturbed run, the disturbed one, and the seconds that each took."""
    times = [time.monotonic()]
    calm = await run(folder / "calm", Plan(plan.chats, plan.checks), seed)
    times.append(time.monotonic())
    killed = await run(folder / "killed", plan, seed)
    times.append(time.monotonic())
    return calm, killed, times[1] - times[0], times[2] - times[1]


def report(plan: Plan, calm: Outcome, killed: Outcome, calm_s: float, killed_s: float) -> bool:
    """Print the results. Returns whether nothing was lost and nothing entered twice."""
    entries = sum(map(len, calm.answers.values()))
    missing = calm.texts - killed.texts
    doubled = killed.texts - calm.texts
    same = killed.answers == calm.answers
    print(
        f"{plan.chats * plan.checks} checks, {plan.chats} chats, {killed.updates} updates,"
        f" {entries} entries"
    )
    print(
        f"killed {killed.killed} times, {killed.in_statement} of them before a random SQL statement"
    )
    print(
        "failures of the server:",
        ", ".join(f"{kind}: {count}" for kind, count in sorted(killed.mishaps.items())),
    )
    print("the logbook equals the undisturbed one:", "yes" if same else "NO")
    print(
        f"texts that did not reach their chat: {missing.total()} of {calm.texts.total()}; doubled:"
        f" {doubled.total()}"
    )
    print(f"undisturbed {calm_s:.0f} s, disturbed {killed_s:.0f} s ({killed_s / calm_s:.1f} times)")
    return same and not missing and killed.killed >= plan.kills


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    for name, default in (("chats", 10), ("checks", 3), ("kills", 50), ("seed", 7)):
        options.add_argument(f"--{name}", type=int, default=default)
    given = options.parse_args()
    logging.disable()
    plan = Plan(
        given.chats,
        given.checks,
        kills=given.kills,
        often=0.1,
        again=0.2,
        statements=800,
        moment=2.0,
    )
    with tempfile.TemporaryDirectory() as folder:
        if not report(plan, *asyncio.run(measure(Path(folder), plan, given.seed))):
            sys.exit("the drill failed")


if __name__ == "__main__":
    main()
