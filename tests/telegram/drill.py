"""The fault drill: caretakers check doors while the server fails and the bot is repeatedly killed
with SIGKILL.

The logbook must equal that of an undisturbed run, answer for answer, and every text must have
reached its chat. Half of the kills happen before a random SQL statement, so also inside a
transaction; the others at a random moment.
"""

from __future__ import annotations

import asyncio
import logging
import multiprocessing
import os
import random
import signal
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from multiprocessing.synchronize import Event
from pathlib import Path
from typing import Any

from api_answers import trouble
from drill_answers import answers
from service import make_service, prepare, serving, until
from standin import StandIn

from doorround.domain.input_result import By
from doorround.hearing.session.interpretation import typed
from doorround.hearing.session.recognition_worker import AtQuestion
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook
from doorround.messages.receiving import SET_ASIDE
from doorround.wiring import load_understanding

LONGER = 1.5
"""By which the next life may be longer after one in which nobody came further."""
children = multiprocessing.get_context("forkserver")
children.set_forkserver_preload(["drill", "warm"])
# the server that children are forked from passes over what it cannot find, and knows no other paths
# than these
_PATHS = [str(Path(__file__).parents[count]) for count in (0, 2)]
os.environ["PYTHONPATH"] = os.pathsep.join([*_PATHS, *filter(None, [os.environ.get("PYTHONPATH")])])


@dataclass(frozen=True)
class Plan:
    """checks: number for each chat; some are complete, some end with "finish" after a number of
    answers. kills: the minimum number; enough: stop at that number.

    often: share of calls at which the server fails. again: share of updates delivered twice.
    statements: most statements between two kills. moment: longest time from readiness to the kill,
    in seconds. Both limits grow after a life without progress, because otherwise a slow machine
    would be killed for ever.
    """

    chats: int
    checks: int
    answers: int | None = None
    kills: int = 0
    enough: bool = False
    often: float = 0.0
    again: float = 0.0
    statements: int = 400
    moment: float = 1.0


@dataclass
class Outcome:
    """answers: contents of each person's entries. texts: how often each text reached each chat."""

    answers: dict[str, list[tuple[Any, ...]]]
    texts: Counter[tuple[int, str]]
    killed: int = 0
    in_statement: int = 0
    mishaps: Counter[str] = field(default_factory=Counter)
    updates: int = 0


class WordsPool:
    """A pool for recordings that contain their words as text. It is slow on purpose, so that kills
    happen during recognition.
    """

    async def hear(self, recording: bytes, wanted: object) -> object:
        await asyncio.sleep(0.01)
        assert isinstance(wanted, AtQuestion)
        return typed(load_understanding(), recording.decode(), wanted.expected, By.VOICE)


def child(
    home: Path, base_url: str, base_file_url: str, statements: int | None, ready: Event
) -> None:
    """Serve; die before SQL statement number `statements`. ready: set when it starts to serve."""
    logging.disable()
    left = statements

    def count(sql: str) -> None:
        nonlocal left
        if left is not None:
            left -= 1
            if left <= 0:
                os.kill(os.getpid(), signal.SIGKILL)

    with Logbook.open(home / "logbook.db") as logbook:
        logbook._db.conn.set_trace_callback(count)
        service = make_service(home, logbook, base_url, base_file_url, WordsPool(), stall=10.0)
        ready.set()
        asyncio.run(service.run(asyncio.Event()))


class Caretakers:
    """Each checks its doors one after another and answers every question once, by tap, typing or
    voice. Content and form of an answer depend on the chat and on the number of questions so far,
    so every run gets the same.
    """

    def __init__(self, server: StandIn, plan: Plan, dice: random.Random) -> None:
        self._server = server
        self._plan = plan
        self._dice = dice
        self._chats = range(1, plan.chats + 1)
        self._answered: dict[int, set[str]] = {chat: set() for chat in self._chats}
        self._aside: set[tuple[int, str | None]] = set()
        self._last: dict[int, Callable[[], int]] = {}
        self._signed = dict.fromkeys(self._chats, 0)
        self._given = dict.fromkeys(self._chats, 0)
        server.on_sent = self.read

    def begin(self) -> None:
        for chat in self._chats:
            self._send(chat, partial(self._server.write, chat, self._door(chat)))

    def _send_again(self, chat: int, about: str | None) -> None:
        """Two kills hit the same message: send it again, once, however often the bot says so.
        about: which message, given for all but taps; a tap that comes twice is stale.
        """
        if about is None or (chat, about) not in self._aside:
            self._aside.add((chat, about))
            self._last[chat]()

    def _send(self, chat: int, send: Callable[[], int]) -> None:
        self._last[chat] = send
        send()

    def _door(self, chat: int) -> str:
        return str((chat - 1) * self._plan.checks + self._signed[chat] + 1)

    def read(self, message: dict[str, Any]) -> None:
        chat = message["chat_id"]
        buttons = message["buttons"]
        if message["text"] == SET_ASIDE:
            self._send_again(chat, message["given"].get("reply_parameters"))
            return
        if buttons and buttons[0]["text"].startswith("no, "):
            # a fault that might be made good: the next question comes with it, and only one is
            # answered
            return
        signed = "Which door are you at?" in message["text"]
        # sent a second time after the talk moved on, it has no buttons any more
        data = message["text"] if signed or not buttons else buttons[0]["callback_data"]
        if data in self._answered[chat] or not (buttons or signed) or self.finished(chat):
            return
        self._answered[chat].add(data)
        self._given[chat] += 1
        if signed:
            self._signed[chat], self._given[chat] = self._signed[chat] + 1, 0
            if not self.finished(chat):
                self._send(chat, partial(self._server.write, chat, self._door(chat)))
        elif self._plan.answers is not None and self._given[chat] > self._plan.answers:
            self._send(chat, partial(self._server.write, chat, "finish"))
        else:
            self._answer(chat, message["text"], buttons)
        if self._dice.random() < self._plan.again and self._server.updates:
            self._server.give_raw(dict(self._server.updates[-1]))

    def _answer(self, chat: int, text: str, buttons: list[dict[str, str]]) -> None:
        choice = random.Random(chat * 10_000 + len(self._answered[chat]))
        sure = "Right?" in text or "finish check" in text or choice.random() < 0.5
        button = (
            buttons[0]
            if sure
            else choice.choice([each for each in buttons if each["text"] != "go back"])
        )
        way = choice.choice(("tap", "type", "voice"))
        # where no check is open, a recording names a door; which door it is, tests/audio hears
        if way == "tap" or "Right?" in text:
            self._send(chat, partial(self._server.tap, chat, button["callback_data"]))
        elif way == "type":
            self._send(chat, partial(self._server.write, chat, button["text"]))
        else:
            self._send(chat, partial(self._server.voice, chat, button["text"].encode()))

    def finished(self, chat: int) -> bool:
        return self._signed[chat] == self._plan.checks

    @property
    def reached(self) -> int:
        """Progress of all: questions answered."""
        return sum(map(len, self._answered.values()))

    @property
    def done(self) -> bool:
        return all(map(self.finished, self._chats)) and not self._server.updates


async def run(home: Path, plan: Plan, seed: int) -> Outcome:
    """One complete run. A bot that is not killed finishes the work of the last one that was."""
    prepare(home, plan.chats, plan.checks)
    dice = random.Random(seed)
    async with StandIn(trouble(dice, plan.often)) as server:
        server.again = lambda: dice.random() < plan.again
        caretakers = Caretakers(server, plan, dice)
        caretakers.begin()
        outcome = Outcome({}, Counter())
        patience = 1.0
        while plan.kills and not caretakers.done:
            if plan.enough and outcome.killed >= plan.kills:
                break
            before = caretakers.reached
            await _one_life(home, server, caretakers, plan, dice, outcome, patience)
            patience = 1.0 if caretakers.reached > before else patience * LONGER
        async with serving(home, server, WordsPool()) as logbook:
            await until(lambda: caretakers.done, 1000)
            await until(
                lambda: not Inbox(logbook).waiting() and not Outbox(logbook).next_per_chat()
            )
        assert not server.broken, server.broken
        outcome.texts = Counter((message["chat_id"], message["text"]) for message in server.sent)
        outcome.mishaps = server.mishaps
        outcome.updates = server.given
    outcome.answers = answers(home)
    return outcome


async def _one_life(
    home: Path,
    server: StandIn,
    caretakers: Caretakers,
    plan: Plan,
    dice: random.Random,
    outcome: Outcome,
    patience: float,
) -> None:
    """From a start of the bot to its kill, or to the end. patience: factor by which its life may
    exceed the plan.
    """
    inside = dice.random() < 0.5
    ready = children.Event()
    statements = round(dice.randint(5, plan.statements) * patience) if inside else None
    moment = None if inside else dice.uniform(0.0, plan.moment) * patience
    bot = children.Process(
        target=child, args=(home, server.base_url, server.base_file_url, statements, ready)
    )
    bot.start()
    loop = asyncio.get_running_loop()
    began = None
    while bot.is_alive() and not caretakers.done:
        began = loop.time() if began is None and ready.is_set() else began
        if moment is not None and began is not None and loop.time() >= began + moment:
            break
        await asyncio.sleep(0.01)
    by_itself = not bot.is_alive()
    ended = caretakers.done
    bot.kill()
    await asyncio.to_thread(bot.join)
    assert bot.exitcode == -signal.SIGKILL, f"the bot ended by itself with {bot.exitcode}"
    outcome.killed += by_itself or not ended
    outcome.in_statement += by_itself
