"""While nothing can be written: whoever sends something is told once, nothing is lost, and it is
taken later.
"""

from __future__ import annotations

import sqlite3
import subprocess
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest
from media import MediaStandIn, WordsPool, add_known_door, picture, settled
from service import prepare, serving, until

from doorround.channels.messenger.inbound import update_handler
from doorround.channels.telegram.transport import polling
from doorround.domain.entries import EntryKind
from doorround.logbook.photos import photos
from doorround.logbook.store import Logbook
from doorround.messages.receiving import DISK_FULL, LOGBOOK_LOCKED

serving = partial(serving, long=0.1, waits_for_others=0.02)
"""With short polls; a write that another program keeps waiting is soon tried later."""


@pytest.fixture(autouse=True)
def tried_again_soon(monkeypatch):
    monkeypatch.setattr(polling, "MAX_HASTY_S", 0.2)
    monkeypatch.setattr(update_handler, "MAX_PAUSE_S", 0.2)


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 2)
    add_known_door(tmp_path)
    return tmp_path


@contextmanager
def locked(home: Path):
    """Another program writes into the logbook and does not come to an end."""
    other = sqlite3.connect(home / "logbook.db", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    yield
    other.execute("ROLLBACK")
    other.close()


@contextmanager
def full(logbook: Logbook):
    """SQLite may take no further page."""
    conn = logbook._db.conn
    [pages] = conn.execute("PRAGMA page_count").fetchone()
    conn.execute(f"PRAGMA max_page_count = {pages}")
    yield
    conn.execute("PRAGMA max_page_count = 1000000")


@pytest.fixture
def small_disk(tmp_path):
    """A real disk of some megabytes, where one may be mounted here."""
    folder = tmp_path / "disk"
    folder.mkdir()
    mounted = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=12m", "tmpfs", folder],
        capture_output=True,
        check=False,
    )
    if mounted.returncode:
        pytest.skip("no disk can be mounted here")
    yield folder
    subprocess.run(["umount", "-l", folder], check=True)


def fill(folder: Path) -> Path:
    """Leave no room on a disk."""
    filler = folder / "filler"
    with filler.open("wb", buffering=0) as file:
        for size in (2**20, 4096, 1):
            try:
                while True:
                    file.write(b"x" * size)
            except OSError:
                continue
    return filler


def answers(logbook):
    return [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]


async def test_a_locked_logbook_is_told_once_and_what_was_sent_is_taken_when_it_is_free(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        with locked(home):
            for _ in range(2):
                server.say(1, "wedged open")
            server.say(66, "hello")
            await until(lambda: LOGBOOK_LOCKED in server.shown(1))
            polls = len([call for call in server.calls if call[0] == "getupdates"])
            await until(
                lambda: len([call for call in server.calls if call[0] == "getupdates"]) > polls + 3
            )
            assert not answers(logbook) and server.updates  # not acknowledged
        await until(lambda: answers(logbook))
        await settled(logbook)
        assert server.shown(1).count(LOGBOOK_LOCKED) == 1
        assert LOGBOOK_LOCKED not in server.shown(66) and LOGBOOK_LOCKED not in server.shown(2)
        server.say(2, "1")
        await until(lambda: any("Door 1" in text for text in server.shown(2)))


class Locks(WordsPool):
    """Another program begins to write while a recording is heard."""

    def __init__(self, home: Path) -> None:
        super().__init__()
        self._home = home
        self.other = None

    async def hear(self, recording, wanted):
        if self.other is None:
            self.other = sqlite3.connect(self._home / "logbook.db", isolation_level=None)
            self.other.execute("BEGIN IMMEDIATE")
        return await super().hear(recording, wanted)


async def test_what_is_already_kept_waits_too_and_what_came_after_it(home):
    pool = Locks(home)
    async with MediaStandIn() as server, serving(home, server, pool) as logbook:
        await server.talk(1, "12")
        server.note(1, "all clear")
        await until(lambda: LOGBOOK_LOCKED in server.shown(1))
        assert not answers(logbook)
        server.say(1, "sign missing")
        pool.other.close()
        await until(lambda: len(answers(logbook)) == 2)
        await settled(logbook)
        assert [each.body["component"] for each in answers(logbook)] == ["clear", "sign"]
        assert server.shown(1).count(LOGBOOK_LOCKED) == 1


async def test_a_logbook_that_cannot_grow_is_told_as_a_full_disk(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        with full(logbook):
            sent = 0
            while DISK_FULL not in server.shown(1):
                sent += 1
                server.say(1, "note " + "x" * 4000)
                waited = len([call for call in server.calls if call[0] == "getupdates"])
                await until(
                    lambda waited=waited: (
                        DISK_FULL in server.shown(1)
                        or len([call for call in server.calls if call[0] == "getupdates"])
                        > waited + 1
                    )
                )
                assert sent < 500
        await until(
            lambda: (
                len([each for each in logbook.entries() if each.kind is EntryKind.NOTED]) == sent
            )
        )
        await settled(logbook)
        assert server.shown(1).count(DISK_FULL) == 1


async def test_on_a_full_disk_everything_waits_and_is_taken_once_there_is_room(small_disk):
    prepare(small_disk, 2)
    add_known_door(small_disk)
    async with MediaStandIn() as server, serving(small_disk, server, WordsPool()) as logbook:
        await server.talk(1, "12")
        filler = fill(small_disk)
        for _ in range(3):
            server.note(1, "all clear" + " " * 50_000)
        server.photo(2, picture(size=(900, 600)))
        for _ in range(40):
            server.say(2, "x" * 4000)
        await until(lambda: DISK_FULL in server.shown(1) and DISK_FULL in server.shown(2))
        assert not answers(logbook)
        filler.unlink()
        await until(lambda: answers(logbook) and photos(logbook))
        await settled(logbook)
        assert server.shown(1).count(DISK_FULL) == 1 and server.shown(2).count(DISK_FULL) == 1
        assert logbook.verify() == [] and not server.broken


async def test_what_arrived_while_it_could_not_be_marked_is_not_sent_again(home):
    other = sqlite3.connect(home / "logbook.db", isolation_level=None)

    def mishap(method, given):
        if method == "sendmessage" and not server.sent and not other.in_transaction:
            other.execute("BEGIN IMMEDIATE")

    async with MediaStandIn(mishap) as server, serving(home, server) as logbook:
        server.say(1, "12")
        await until(lambda: server.sent)
        polls = len([call for call in server.calls if call[0] == "getupdates"])
        await until(
            lambda: len([call for call in server.calls if call[0] == "getupdates"]) > polls + 3
        )
        other.close()
        await settled(logbook)
        server.say(1, "wedged open")
        await until(lambda: answers(logbook))
        await settled(logbook)
        assert len([text for text in server.shown(1) if text.startswith("Door 12")]) == 1
