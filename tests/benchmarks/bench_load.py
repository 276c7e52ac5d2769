"""Many chats at once: python -m tests.benchmarks.bench_load [--chats 200] [--voice 0.1] [--paced]

Each chat carries out a short check of its own door over real HTTP: it names the door, answers the
first question (some of them with a real voice note, recognised by the real engines), types, taps,
finishes and signs. The bot runs in its own process. The Telegram stand-in is this process on the
same machine, so it takes its share of the processors.

Baseline: one chat alone, same steps, same run. --paced: at Telegram's rate limit, 30 messages a
second; without it the bot is unthrottled. Reply time: from the update at the server to the first
message back.
"""

from __future__ import annotations

import argparse
import asyncio
import logging
import multiprocessing
import os
import signal
import statistics
import sys
import tempfile
import time
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "telegram"))

from media import KNOWN
from service import NOON, QUICK, make_service, until
from standin import StandIn

from doorround.channels.telegram.serve.service import serve
from doorround.channels.telegram.transport.rate_limit import Limits
from doorround.config.settings import read_settings
from doorround.domain.door import Door
from doorround.domain.entries import EntryKind
from doorround.logbook.chats import Chats
from doorround.logbook.store import Logbook
from doorround.wiring import load_understanding, make_pool

VOICE = Path(__file__).parents[2] / "demo_conversations" / "voice" / "all-clear.ogg"
MAX_STEPS = 10


def prepare(home: Path, chats: int) -> None:
    """A logbook with a known caretaker and a well-known door for each chat."""
    home.mkdir(parents=True)
    with Logbook.open(home / "logbook.db") as logbook, logbook.writing():
        for chat in range(1, chats + 1):
            logbook.add_person(f"caretaker {chat}", "caretaker", NOON)
            Chats(logbook).belong(f"telegram/{chat}", f"caretaker {chat}")
            logbook.add_door(Door.model_validate({**KNOWN, "number": str(chat)}), "Mona", NOON)


def bot(home: Path, base_url: str, base_file_url: str, paced: bool) -> None:
    """The bot, until SIGTERM."""
    logging.disable()
    settings = read_settings({"DOORROUND_HOME": str(home)})
    load_understanding()
    with Logbook.open(home / "logbook.db") as logbook:
        more = {"limits": Limits() if paced else QUICK, "long": 20, "stall": 60.0, "places": 10}
        make = partial(make_service, home, logbook, base_url, base_file_url, **more)
        asyncio.run(serve(make, make_pool(settings)))


@dataclass
class Crowd:
    """Chats that take their next step when they are answered. by_voice: those that speak once."""

    server: StandIn
    chats: int
    by_voice: frozenset[int]
    steps: dict[int, int] = field(default_factory=dict)
    since: dict[int, float] = field(default_factory=dict)
    took: list[float] = field(default_factory=list)
    spoken: list[float] = field(default_factory=list)
    signed: set[int] = field(default_factory=set)

    def begin(self) -> None:
        """Every chat names its door."""
        self.server.on_sent = self.read
        for chat in range(1, self.chats + 1):
            self._step(chat, {})

    def read(self, message: dict[str, Any]) -> None:
        """A message came to a chat: the first since its last step is the reply to that."""
        chat = message["chat_id"]
        if chat in self.since:
            (self.spoken if self._speaks(chat) else self.took).append(
                time.perf_counter() - self.since.pop(chat)
            )
        if "Signed" in message["text"]:
            self.signed.add(chat)
        elif message["buttons"] and chat not in self.signed and chat not in self.since:
            self._step(chat, message)

    def _speaks(self, chat: int) -> bool:
        return self.steps[chat] == 2 and chat in self.by_voice

    def _step(self, chat: int, message: dict[str, Any]) -> None:
        self.steps[chat] = step = self.steps.get(chat, 0) + 1
        assert step <= MAX_STEPS, f"chat {chat} comes to no end: {message['text']}"
        self.since[chat] = time.perf_counter()
        if step == 1:
            self.server.write(chat, str(chat))
        elif self._speaks(chat):
            self.server.voice(chat, VOICE.read_bytes())
        elif step in (2, 4):
            self.server.tap(chat, message["buttons"][0]["callback_data"])
        elif step == 3:
            self.server.write(chat, message["buttons"][0]["text"])
        else:
            self.server.write(chat, "finish")


@dataclass(frozen=True)
class Measured:
    """took, spoken: seconds of each reply, without and with hearing. second: messages a second.
    peak: of memory, MB, of the bot and of its workers. work: processor seconds of the bot, without
    its workers, for one message.
    """

    took: list[float]
    spoken: list[float]
    second: float
    work: float
    peak: tuple[int, int]
    whole: bool


async def measure(home: Path, chats: int, voice: float, paced: bool) -> Measured:
    """One crowd, from its first message to its last signature. One chat more goes before it, so
    that nothing is loaded within what is measured.
    """
    prepare(home, chats + 2)
    async with StandIn() as server:
        context = multiprocessing.get_context("spawn")
        process = context.Process(
            target=bot, args=(home, server.base_url, server.base_file_url, paced)
        )
        process.start()
        await _warm(server, chats, 2 if voice else 0)
        before = len(server.sent)
        worked = _worked(process.pid or 0)
        crowd = Crowd(server, chats, frozenset(range(1, round(chats * voice) + 1)))
        began = time.perf_counter()
        crowd.begin()
        await until(lambda: len(crowd.signed) == chats, 1800)
        second = (len(server.sent) - before) / (time.perf_counter() - began)
        work = (_worked(process.pid or 0) - worked) / (len(server.sent) - before)
        peak = peaks(process.pid or 0)
        os.kill(process.pid or 0, signal.SIGTERM)
        await asyncio.to_thread(process.join)
    return Measured(
        crowd.took, crowd.spoken, second, work, peak, whole(home, chats, len(crowd.by_voice))
    )


async def _warm(server: StandIn, chats: int, workers: int) -> None:
    """Two chats do what the crowd will do; with voice notes, one for each worker at the same
    time.
    """
    for place in (1, 2):
        chat = chats + place
        server.write(chat, str(chat))
        await until(lambda chat=chat: server.to(chat), 120)
    for chat in (chats + 1, chats + 2):
        if workers:
            server.voice(chat, VOICE.read_bytes())
        else:
            server.tap(chat, server.to(chat)[-1]["buttons"][0]["callback_data"])
    await until(lambda: all(len(server.to(chats + place)) > 1 for place in (1, 2)), 120)


def whole(home: Path, chats: int, by_voice: int) -> bool:
    """Whether the logbook holds every check, signed, and every spoken answer."""
    with Logbook.open(home / "logbook.db") as logbook:
        entries = logbook.entries()
        signed = {entry.check for entry in entries if entry.kind is EntryKind.SIGNED}
        spoken = sum(
            entry.kind is EntryKind.ANSWERED and entry.body.get("by") == "voice"
            for entry in entries
        )
        return len(signed) == chats and spoken >= by_voice and logbook.verify() == []


def peaks(pid: int) -> tuple[int, int]:
    """Peak resident memory of a process, and the sum of its children's, MB."""
    children = Path(f"/proc/{pid}/task/{pid}/children").read_text().split()
    return _peak(pid), sum(map(_peak, map(int, children)))


def _peak(pid: int) -> int:
    status = Path(f"/proc/{pid}/status").read_text()
    return (
        int(next(line.split()[1] for line in status.splitlines() if line.startswith("VmHWM")))
        // 1024
    )


def _worked(pid: int) -> float:
    """Processor seconds of a process so far."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def line(name: str, took: list[float], base: list[float]) -> str:
    """p50 and p95 of replies, as seconds and as times those of one chat alone."""
    if not took:
        return f"{name}: none"
    told = []
    for part, place in (("p50", 0.5), ("p95", 0.95)):
        here = _at(took, place)
        there = _at(base, place)
        told.append(
            f"{part} {here * 1000:.0f} ms ({here / there:.1f} times {there * 1000:.0f} ms alone)"
        )
    return f"{name} ({len(took)}): {', '.join(told)}"


def _at(took: list[float], place: float) -> float:
    return (
        statistics.quantiles(took, n=100, method="inclusive")[round(place * 100) - 1]
        if len(took) > 1
        else took[0]
    )


async def run(folder: Path, chats: int, voice: float, paced: bool) -> bool:
    """Measure one chat and many, and print it. Whether nothing was lost."""
    alone = await measure(folder / "alone", 1, 1.0 if voice else 0.0, paced)
    crowd = await measure(folder / "crowd", chats, voice, paced)
    print(
        f"{chats} chats at once, {'at the pace of Telegram' if paced else 'held back by nothing'}"
    )
    print(line("typed and tapped", crowd.took, alone.took))
    print(line("voice notes", crowd.spoken, alone.spoken))
    print(
        f"messages a second: {crowd.second:.0f} ({crowd.second / alone.second:.1f} times"
        f" {alone.second:.0f} alone)"
    )
    work = crowd.work * 1000
    least = alone.work * 1000
    print(
        f"work of the bot for a message: {work:.0f} ms ({work / least:.1f} times {least:.0f} ms"
        " alone)"
    )
    for name, here, there in zip(("bot", "workers"), crowd.peak, alone.peak, strict=True):
        print(f"peak memory, {name}: {here} MB ({here / there:.2f} times {there} MB alone)")
    print("every check is in the logbook:", "yes" if crowd.whole and alone.whole else "NO")
    return crowd.whole and alone.whole


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--chats", type=int, default=200)
    options.add_argument("--voice", type=float, default=0.1)
    options.add_argument("--paced", action="store_true")
    given = options.parse_args()
    logging.disable()
    with tempfile.TemporaryDirectory() as folder:
        if not asyncio.run(run(Path(folder), given.chats, given.voice, given.paced)):
            sys.exit("something was lost")


if __name__ == "__main__":
    main()
