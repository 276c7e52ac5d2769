"""A logbook whose program is killed again and again ends as if nothing had happened.

A child process keeps one message after another. It is killed with SIGKILL at seeded points: by its
parent at a random moment, or by itself just before a random SQL statement, so also in the middle of
a transaction. Each new child starts with the last message that its parent saw answered, as a
channel would deliver it again.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import signal
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from multiprocessing.connection import Connection
from pathlib import Path

import small_visit as visit

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check
from doorround.domain.entries import Entry
from doorround.logbook.store import Logbook

CHECKS = 60
KILLS = 45
# what a caretaker sends during one check, one message each
STEPS: tuple[Callable[[Check, float], Turn], ...] = (
    lambda check, minute: visit.answer(check, "glass.kind", visit.WIRED, minute),
    lambda check, minute: visit.ask_again(check),
    lambda check, minute: visit.answer(check, "hinges.count", visit.THREE, minute),
    lambda check, minute: visit.answer(check, "seals", visit.PAINTED, minute),
    lambda check, minute: visit.answer(check, "seals", visit.SOUND, minute),
    lambda check, minute: visit.answer(check, "closer.shuts", visit.YES, minute),
    lambda check, minute: visit.withdraw(check, "closer.shuts", minute),
    lambda check, minute: visit.note(check, "draughty", minute),
    lambda check, minute: visit.close(check, minute),
)
EACH = len(STEPS) + 1
MESSAGES = CHECKS * EACH

children = multiprocessing.get_context("forkserver")
children.set_forkserver_preload(["doorround.logbook.store", "small_visit"])


def handle(logbook: Logbook, number: int) -> str:
    """Deal with one message as a channel does: look where the talk stands, take a turn, keep it.

    Returns the reply.
    """
    incoming = f"m{number}"
    minute = float(number)
    which, step = divmod(number, EACH)
    said = logbook.already("chat", incoming)
    if said is None and step == 0:
        said = logbook.begin(
            "chat", visit.start(logbook.door("14"), id=f"c{which}", minute=minute), incoming
        )
    elif said is None:
        check = logbook.position("chat")
        assert check is not None
        said = logbook.keep("chat", incoming, STEPS[step - 1](check, minute), at=visit.at(minute))
    return f"{number} " + " ".join(prompt.text for prompt in said)


def child(path: Path, first: int, pipe: Connection, last_statement: int | None) -> None:
    """Deal with messages from `first` on and report each; die before SQL statement number
    `last_statement`.
    """
    left = last_statement

    def count(sql: str) -> None:
        nonlocal left
        if left is not None:
            left -= 1
            if left <= 0:
                pipe.send("inside" if logbook._db.conn.in_transaction else "outside")
                os.kill(os.getpid(), signal.SIGKILL)

    with Logbook.open(path, zone="Europe/London") as logbook:
        logbook._db.conn.set_trace_callback(count)
        for number in range(first, MESSAGES):
            pipe.send(handle(logbook, number))


@dataclass
class Drill:
    """What the parent saw: the reply to each message, and how often it killed."""

    path: Path
    dice: random.Random
    replies: dict[int, str] = field(default_factory=dict)
    kills: int = 0
    inside: int = 0
    repeated: int = 0

    def run(self) -> None:
        while max(self.replies, default=-1) < MESSAGES - 1:
            self.one_child()

    def one_child(self) -> None:
        by_itself = self.kills < KILLS and self.dice.random() < 0.6
        by_parent = self.kills < KILLS and not by_itself
        ours, theirs = children.Pipe(duplex=False)
        first = max(self.replies, default=0)
        last_statement = self.dice.randint(1, 160) if by_itself else None
        started = children.Process(target=child, args=(self.path, first, theirs, last_statement))
        started.start()
        theirs.close()
        with ours:
            self.listen(ours, started.kill if by_parent else None)
        started.join()
        assert started.exitcode in (0, -signal.SIGKILL)
        self.kills += started.exitcode == -signal.SIGKILL
        started.close()

    def listen(self, pipe: Connection, kill: Callable[[], None] | None) -> None:
        # one in four dies while it is still opening the file, the others a few messages on
        opening = self.dice.random() < 0.25
        wait = self.dice.uniform(0, 0.01 if opening else 0.002)
        replies = self.dice.randint(1, 15)
        while True:
            if kill and (opening or not replies):
                time.sleep(wait)
                kill()
                kill = None
            try:
                assert pipe.poll(600), "the child hangs"
                self.note(pipe.recv())
                replies -= 1
            except EOFError:
                return

    def note(self, word: str) -> None:
        if word in ("inside", "outside"):
            self.inside += word == "inside"
            return
        number = int(word.split()[0])
        self.repeated += number in self.replies
        assert self.replies.setdefault(number, word) == word


def prepared(path: Path) -> Path:
    with Logbook.open(path, zone="Europe/London") as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
    return path


def test_killed_forty_five_times_the_logbook_equals_the_undisturbed_one(tmp_path: Path) -> None:
    calm = prepared(tmp_path / "calm.db")
    with Logbook.open(calm, zone="Europe/London") as logbook:
        replies = [handle(logbook, number) for number in range(MESSAGES)]
        wanted = logbook.entries()
        end = logbook.head()
        answers: dict[str, list[str]] = {
            check.id: _answers(logbook, check.id) for check in logbook.checks()
        }

    drill = Drill(prepared(tmp_path / "killed.db"), random.Random(20260302))
    drill.run()

    assert drill.kills == KILLS
    assert drill.inside >= 10
    assert drill.repeated >= 20
    assert [drill.replies[number] for number in range(MESSAGES)] == replies
    with Logbook.open(drill.path) as logbook:
        assert logbook.verify() == []
        assert {check.id: _answers(logbook, check.id) for check in logbook.checks()} == answers
        assert _plain(logbook.entries()) == _plain(wanted)
        assert logbook.head() == end


def _answers(logbook: Logbook, check: str) -> list[str]:
    return [answer.model_dump_json() for answer in logbook.answers(check)]


def _plain(entries: list[Entry]) -> list[str]:
    return [entry.model_dump_json() for entry in entries]
