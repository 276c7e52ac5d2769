"""Several threads and processes at one logbook: who waits, who is told, and nothing is lost."""

from __future__ import annotations

import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.logbook.errors import LogbookError, OtherThreadError
from doorround.logbook.schema import migrations
from doorround.logbook.store import Logbook

pytestmark = pytest.mark.migrates


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


def test_another_thread_is_told_to_open_its_own(path: Path) -> None:
    with Logbook.open(path) as logbook, ThreadPoolExecutor(1) as pool:
        for use in (
            logbook.doors,
            logbook.head,
            logbook.verify,
            lambda: logbook.add_door(visit.door(), "Mona", visit.at(0)),
        ):
            with pytest.raises(OtherThreadError, match="Open a Logbook of its own"):
                pool.submit(use).result()


def test_a_second_writer_waits_for_the_first(path: Path) -> None:
    waiting = threading.Event()

    def second() -> None:
        with Logbook.open(path) as logbook:
            waiting.set()
            logbook.add_door(visit.door("2"), "Omar", visit.at(1))

    Logbook.open(path).close()
    with Logbook.open(path) as logbook, ThreadPoolExecutor(1) as pool:
        with logbook.writing():
            logbook.add_door(visit.door("1"), "Mona", visit.at(0))
            other = pool.submit(second)
            assert waiting.wait(300)
            with pytest.raises(TimeoutError):
                other.result(timeout=0.2)
        other.result(timeout=300)
        assert [(entry.seq, entry.door) for entry in logbook.entries()] == [(1, "1"), (2, "2")]
        assert logbook.verify() == []


def test_a_writer_that_waits_too_long_is_told_why(path: Path) -> None:
    with Logbook.open(path) as logbook, Logbook.open(path) as other:
        other._db.conn.execute("PRAGMA busy_timeout = 1")
        with (
            logbook.writing(),
            pytest.raises(LogbookError, match=r"is being written by another program"),
        ):
            other.add_door(visit.door("2"), "Omar", visit.at(1))
        other.add_door(visit.door("2"), "Omar", visit.at(1))


def test_readers_do_not_wait_for_a_writer(path: Path) -> None:
    with Logbook.open(path) as logbook, logbook.writing():
        logbook.add_door(visit.door("1"), "Mona", visit.at(0))
        with Logbook.open(path) as other:
            other._db.conn.execute("PRAGMA busy_timeout = 1")
            assert other.doors() == []


def test_many_writers_at_once_lose_and_double_nothing(path: Path) -> None:
    def write(who: int) -> None:
        with Logbook.open(path) as logbook:
            for number in range(25):
                logbook.add_door(visit.door(f"{who}-{number}"), "Mona", visit.at(0))

    Logbook.open(path).close()
    with ThreadPoolExecutor(4) as pool:
        for done in [pool.submit(write, who) for who in range(4)]:
            done.result()
    with Logbook.open(path) as logbook:
        assert {door.number for door in logbook.doors()} == {
            f"{who}-{number}" for who in range(4) for number in range(25)
        }
        assert [entry.seq for entry in logbook.entries()] == list(range(1, 101))
        assert logbook.verify() == []


@pytest.mark.parametrize("attempt", range(5))
def test_several_can_make_the_same_new_file_at_once(path: Path, attempt: int) -> None:
    ready = threading.Barrier(4)

    def make() -> None:
        ready.wait()
        Logbook.open(path).close()

    with ThreadPoolExecutor(4) as pool:
        for done in [pool.submit(make) for _ in range(4)]:
            done.result()
    assert raw(path, "SELECT count(*) FROM _sqlite_migrations") == [(len(migrations._migrations),)]
