"""An update that ends the program, or fails each time, is set aside, told and entered; the bot goes
on for all.
"""

from __future__ import annotations

import asyncio
import logging
import os
import signal
from pathlib import Path

import pytest
from drill import children
from media import MediaStandIn, add_known_door, picture, settled
from service import DeafPool, make_service, prepare, serving, until

from doorround.domain.entries import EntryKind
from doorround.domain.input_result import BadAudio, RecordingProblem, Silence
from doorround.logbook.inbox import Inbox
from doorround.logbook.listing import show_lines
from doorround.logbook.store import Logbook
from doorround.messages.photos import NOT_WORKED_OUT, TOO_LARGE
from doorround.messages.receiving import FAILED, SET_ASIDE
from doorround.messages.recordings import NOT_WORKED_OUT as NOT_HEARD

# a WebP of 16,000 × 3,700, all white; drawn in the program's own process it took 930 MB
WIDE = bytes.fromhex("524946461e000000574542505650384c110000002f7ffe9c0307d0fffef7bfff8188e87f0000")


@pytest.fixture
def home(tmp_path):
    prepare(tmp_path, 3)
    add_known_door(tmp_path)
    return tmp_path


class DeadlyPool:
    """Ends the program at one recording; takes a while over any other."""

    async def hear(self, recording: bytes, wanted: object) -> Silence:
        await asyncio.sleep(0.3)
        if recording == b"deadly":
            os.kill(os.getpid(), signal.SIGKILL)
        await asyncio.sleep(0.5)
        return Silence()


class Hangs:
    """Never comes to an end of a recording."""

    def __init__(self) -> None:
        self.begun = asyncio.Event()

    async def hear(self, recording: bytes, wanted: object) -> Silence:
        self.begun.set()
        await asyncio.sleep(600)
        return Silence()


def child(home: Path, base_url: str, base_file_url: str) -> None:
    logging.disable()
    with Logbook.open(home / "logbook.db") as logbook:
        service = make_service(home, logbook, base_url, base_file_url, DeadlyPool(), stall=10.0)
        asyncio.run(service.run(asyncio.Event()))


async def dies(home: Path, server: MediaStandIn) -> None:
    """Run the bot as a process until it is gone."""
    bot = children.Process(target=child, args=(home, server.base_url, server.base_file_url))
    bot.start()
    await asyncio.wait_for(asyncio.to_thread(bot.join), 120)
    assert bot.exitcode == -signal.SIGKILL


def aside(logbook):
    return [entry for entry in logbook.entries() if entry.kind is EntryKind.SET_ASIDE]


async def test_what_ends_the_program_twice_is_set_aside_and_the_bot_goes_on_for_everybody(home):
    async with MediaStandIn() as server:
        server.say(1, "12")
        server.note(2, "well")
        deadly = server.note(1, "deadly")
        server.note(3, "well too")
        await dies(home, server)
        with Logbook.open(home / "logbook.db") as logbook:
            assert len(Inbox(logbook).tried()) == 3  # any of them may have been it
        await dies(home, server)
        async with serving(home, server, DeafPool()) as logbook:
            await until(lambda: SET_ASIDE in server.shown(1))
            told = next(message for message in server.to(1) if message["text"] == SET_ASIDE)
            assert f'"message_id": {deadly}' in told["given"]["reply_parameters"]
            await until(lambda: server.to(2) and server.to(3))
            server.say(1, "wedged open")
            await until(lambda: any(each.kind is EntryKind.ANSWERED for each in logbook.entries()))
            await settled(logbook)
            # the two beside it were each tried alone: neither is to blame
            assert not {SET_ASIDE, FAILED} & {
                *server.shown(2),
                *server.shown(3),
            }
            [entry] = aside(logbook)
            assert (entry.person, entry.door) == ("caretaker 1", "12")
            assert (entry.body["sent"], entry.body["why"]) == (
                "recording",
                "the program ended at it twice",
            )
            assert "Set aside, not entered: recording;" in "\n".join(show_lines(logbook))
            assert logbook.verify() == []


async def test_a_stop_in_the_middle_is_no_try(home):
    for _ in range(3):
        pool = Hangs()
        async with MediaStandIn() as server, serving(home, server, pool):
            server.note(1, "a note")
            await asyncio.wait_for(pool.begun.wait(), 60)
        with Logbook.open(home / "logbook.db") as logbook:
            assert Inbox(logbook).waiting() and Inbox(logbook).tried() == []


async def test_what_fails_each_time_is_told_once_and_entered(home, monkeypatch):
    class Broken:
        async def hear(self, recording, wanted):
            raise RuntimeError("no engine reads that")

    async with MediaStandIn() as server, serving(home, server, Broken()) as logbook:
        await server.talk(1, "12")
        server.note(1, "a note")
        await until(lambda: FAILED in server.shown(1))
        server.say(1, "wedged open")
        await until(lambda: any(each.kind is EntryKind.ANSWERED for each in logbook.entries()))
        await settled(logbook)
        assert server.shown(1).count(FAILED) == 1
        assert [entry.body["why"] for entry in aside(logbook)] == ["it failed 3 times"]


async def test_a_small_file_of_many_pixels_is_refused_and_others_go_on(home):
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.photo(1, WIDE)
        server.photo(2, picture())
        await until(lambda: TOO_LARGE in server.shown(1) and server.to(2))
        await settled(logbook)
        assert "kept" in server.shown(2)[0] and len(list((home / "photos").iterdir())) == 1


async def test_a_picture_that_ends_its_process_is_set_aside(home, monkeypatch):
    monkeypatch.setattr(
        "doorround.channels.talk.photo_process._command", lambda: ("sh", "-c", "kill -SEGV $$")
    )
    async with MediaStandIn() as server, serving(home, server) as logbook:
        await server.talk(1, "12")
        server.photo(1, picture())
        await until(lambda: NOT_WORKED_OUT in server.shown(1))
        await settled(logbook)
        [entry] = aside(logbook)
        assert (entry.body["sent"], entry.door) == ("picture", "12")
        assert not (home / "photos").exists()


async def test_a_recording_that_ends_each_worker_is_entered_as_set_aside(home):
    class Lost:
        async def hear(self, recording, wanted):
            return BadAudio(advice=NOT_HEARD, problem=RecordingProblem.FAILED)

    async with MediaStandIn() as server, serving(home, server, Lost()) as logbook:
        await server.talk(1, "12")
        server.note(1, "a note")
        await until(lambda: any(NOT_HEARD in text for text in server.shown(1)))
        await settled(logbook)
        assert [(entry.body["sent"], entry.door) for entry in aside(logbook)] == [
            ("recording", "12")
        ]
