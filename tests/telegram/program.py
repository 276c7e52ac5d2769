"""`doorround serve` as in production: its own process, real engines, against the stand-in."""

from __future__ import annotations

import asyncio
import os
import signal
import sys
from contextlib import asynccontextmanager
from pathlib import Path

from standin import BOT_NAME, TOKEN, StandIn

TOP = Path(__file__).parents[2]
PIPE = asyncio.subprocess.PIPE


def installed() -> str:
    """The program beside the Python that runs the tests."""
    found = Path(sys.executable).with_name("doorround")
    assert found.is_file(), f"the program is not installed: there is no {found}"
    return str(found)


def environment(server: StandIn, **more: str) -> dict[str, str]:
    """Environment for a program that uses the stand-in as Telegram and none of this machine's
    settings.
    """
    known = {name: value for name, value in os.environ.items() if not name.startswith("DOORROUND_")}
    where = {
        "DOORROUND_TELEGRAM_BASE_URL": server.base_url,
        "DOORROUND_TELEGRAM_BASE_FILE_URL": server.base_file_url,
    }
    return {**known, **where, "PYTHONPATH": str(TOP), **more}


@asynccontextmanager
async def program(home: Path, server: StandIn, **more: str):
    """The program, once it has reached the stand-in; killed at the end if it is still running."""
    given = environment(server, DOORROUND_HOME=str(home), DOORROUND_TELEGRAM_TOKEN=TOKEN, **more)
    running = await asyncio.create_subprocess_exec(
        installed(), "serve", stdout=PIPE, stderr=PIPE, env=given, cwd=home
    )
    try:
        await started(running)
        yield running
    finally:
        if running.returncode is None:
            running.kill()
        await running.communicate()


async def started(running: asyncio.subprocess.Process) -> None:
    """Wait for the line that says which bot it is."""
    async with asyncio.timeout(300):
        while f"This bot is @{BOT_NAME}" not in (
            line := (await running.stderr.readline()).decode()
        ):
            assert line, "it stopped by itself"


async def stopped(running: asyncio.subprocess.Process) -> None:
    """Send SIGTERM, and check that the program exits by itself, well before its current work would
    have finished.
    """
    running.send_signal(signal.SIGTERM)
    await asyncio.wait_for(running.wait(), 300)
    assert running.returncode == 0
