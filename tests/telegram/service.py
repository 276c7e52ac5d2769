"""The bot against the stand-in, in this process: no engines, so that typed words and taps are all
there is.
"""

from __future__ import annotations

import asyncio
from contextlib import asynccontextmanager
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from standin import TOKEN, StandIn

from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.telegram.serve.service import TelegramService
from doorround.channels.telegram.transport.rate_limit import Limits
from doorround.channels.telegram.wire.options import TelegramOptions
from doorround.config.resources import load_checklist
from doorround.config.settings import read_settings
from doorround.domain.door import Door
from doorround.domain.input_result import Silence
from doorround.logbook.chats import Chats
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts
from doorround.wiring import make_pooled_talk

QUICK = Limits(overall=10_000, between=0.0, burst=100, group=10_000)
NOON = datetime(2026, 5, 28, 12, 0, tzinfo=UTC)


class DeafPool:
    """Hears silence in every recording, at once."""

    def __init__(self) -> None:
        self.heard: list[bytes] = []

    async def hear(self, recording: bytes, wanted: object) -> Silence:
        self.heard.append(recording)
        return Silence()


def prepare(home: Path, chats: int, doors_each: int = 1) -> None:
    """A logbook with doors and a known caretaker for each chat."""
    home.mkdir(parents=True, exist_ok=True)
    with Logbook.open(home / "logbook.db") as logbook:
        for chat in range(1, chats + 1):
            logbook.add_person(f"caretaker {chat}", "caretaker", NOON)
            Chats(logbook).belong(f"telegram/{chat}", f"caretaker {chat}")
        for door in range(1, chats * doors_each + 1):
            logbook.add_door(Door(number=str(door), site="Alder House"), "Mona", NOON)


def make_service(
    home: Path,
    logbook: Logbook,
    base_url: str,
    base_file_url: str,
    pool,
    webhook=None,
    plan=None,
    **more,
) -> TelegramService:
    """plan: with it, dangers are told, and what is asked by voice is answered."""
    options = TelegramOptions(TOKEN, base_url, base_file_url, webhook)
    settings = read_settings({"DOORROUND_HOME": str(home)})
    alerts = plan and Alerts(logbook, plan)
    talk = partial(
        make_pooled_talk,
        logbook,
        settings,
        load_checklist(),
        reach=alerts and alerts.reach,
        answers=plan and QueryHandler(logbook, plan).say,
        intervals=plan and plan.intervals,
    )
    given = {
        "alert": alerts and alerts.after_turn,
        "limits": QUICK,
        "long": 1,
        "stall": 2.0,
        "first_pause": 0.02,
        **more,
    }
    return TelegramService(options=options, logbook=logbook, pool=pool, talk=talk, **given)


async def runs(home: Path, server: StandIn, **more) -> None:
    """Run the bot until it ends by itself, and raise what it ends with."""
    with Logbook.open(home / "logbook.db") as logbook:
        service = make_service(
            home, logbook, server.base_url, server.base_file_url, DeafPool(), **more
        )
        await asyncio.wait_for(service.run(asyncio.Event()), 300)


@asynccontextmanager
async def serving(home: Path, server: StandIn, pool=None, access_policy=None, **more):
    """The bot, running; its logbook."""
    stop = asyncio.Event()
    with Logbook.open(home / "logbook.db") as logbook:
        more["access_policy"] = access_policy and access_policy(logbook)
        service = make_service(
            home, logbook, server.base_url, server.base_file_url, pool or DeafPool(), **more
        )
        task = asyncio.create_task(service.run(stop))
        try:
            yield logbook
        finally:
            stop.set()
            await task


async def until(true, seconds: float = 300.0) -> None:
    """Wait until something is so.

    As long as a busy machine may need: who passes does not wait so long.
    """
    async with asyncio.timeout(seconds):
        while not true():
            await asyncio.sleep(0.01)
