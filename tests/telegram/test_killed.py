"""The bot is killed with SIGKILL again and again, before a random SQL statement: between two steps, or inside one.

The logbook must equal, answer for answer, the one of an undisturbed run; the server fails and gives updates twice.
"""

from __future__ import annotations

import asyncio
import multiprocessing
import os
import random
import signal
from pathlib import Path

from service import DeafPool, make_service, prepare, serving, until
from standin import StandIn, trouble

from bot.domain.entries import EntryKind
from bot.logbook.inbox import Inbox
from bot.logbook.store import Logbook

CHATS = 2
ANSWERS = 4
KILLS = 8

children = multiprocessing.get_context("forkserver")
children.set_forkserver_preload(["service"])


def child(home: Path, base_url: str, base_file_url: str, statements: int | None) -> None:
    """Serve; die before SQL statement number `statements`."""
    left = statements

    def count(sql: str) -> None:
        nonlocal left
        if left is not None:
            left -= 1
            if left <= 0:
                os.kill(os.getpid(), signal.SIGKILL)

    with Logbook.open(home / "logbook.db") as book:
        book._db.conn.set_trace_callback(count)
        service = make_service(home, book, base_url, base_file_url, DeafPool())
        asyncio.run(service.run(asyncio.Event()))


class Caretakers:
    """Each begins a door by its number, then presses the first button of every new question, once."""

    def __init__(self, server: StandIn) -> None:
        self._server, self._pressed = server, {chat: set() for chat in range(1, CHATS + 1)}
        server.on_sent = self.read

    def begin(self) -> None:
        for chat in self._pressed:
            self._server.write(chat, str(chat))

    def read(self, message) -> None:
        pressed = self._pressed[message["chat_id"]]
        data = message["buttons"][0]["callback_data"] if message["buttons"] else ""
        if data and data not in pressed and len(pressed) < ANSWERS:
            pressed.add(data)
            self._server.tap(message["chat_id"], data)
            self._server.give_raw(dict(self._server.updates[-1]))

    @property
    def done(self) -> bool:
        return all(len(pressed) == ANSWERS for pressed in self._pressed.values()) and not self._server.updates


async def run(home: Path, kills: int, dice: random.Random) -> int:
    """One whole run. Returns how often the bot was killed."""
    prepare(home, CHATS)
    killed = 0
    async with StandIn(trouble(dice, 0.1 if kills else 0.0)) as server:
        caretakers = Caretakers(server)
        caretakers.begin()
        while not caretakers.done:
            statements = dice.randint(5, 120) if killed < kills else None
            bot = children.Process(target=child, args=(home, server.base_url, server.base_file_url, statements))
            bot.start()
            while bot.is_alive() and not caretakers.done:
                await asyncio.sleep(0.02)
            killed += not bot.is_alive() and bot.exitcode == -signal.SIGKILL
            bot.kill()
            await asyncio.to_thread(bot.join)
        # what was kept when the last one was killed is dealt with at the next start
        async with serving(home, server) as book:
            await until(lambda: not Inbox(book).waiting(), 20)
    assert not server.broken
    return killed


def answers(home: Path) -> dict[str, list[tuple[object, ...]]]:
    with Logbook.open(home / "logbook.db") as book:
        assert book.verify() == []
        given: dict[str, list[tuple[object, ...]]] = {}
        for entry in book.entries():
            if entry.kind in (EntryKind.CHECK_STARTED, EntryKind.ANSWERED, EntryKind.FOUND):
                body = entry.body
                what = (entry.kind, body.get("question"), str(body.get("value")), body.get("heard"), body.get("by"))
                given.setdefault(entry.person, []).append(what)
        return given


async def test_killed_again_and_again_the_logbook_equals_the_undisturbed_one(tmp_path: Path) -> None:
    assert await run(tmp_path / "calm", 0, random.Random(1)) == 0
    killed = await run(tmp_path / "killed", KILLS, random.Random(2))
    assert killed >= KILLS // 2
    wanted = answers(tmp_path / "calm")
    assert len(wanted) == CHATS and all(len(given) >= ANSWERS for given in wanted.values())
    assert answers(tmp_path / "killed") == wanted
