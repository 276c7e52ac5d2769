"""SIGTERM to the real program with its real engines: it waits for no voice and no recording, and
nothing is lost.
"""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest
from house import MONA, SAM, join, said
from media import MediaStandIn, add_known_door
from program import program, stopped
from service import NOON, until

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.people import Role
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.excerpt import opus
from doorround.hearing.audio.sound import RATE
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.read_aloud_prefs import set_read_aloud
from doorround.logbook.store import Logbook

ALL_CLEAR = Path(__file__).parents[2] / "demo_conversations" / "voice" / "all-clear.ogg"


@pytest.fixture
def home(tmp_path):
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        join(logbook, MONA, "Mona", Role.SUPERVISOR)
        join(logbook, SAM, "Sam", Role.CARETAKER)
    add_known_door(tmp_path)
    with Logbook.open(tmp_path / "logbook.db") as logbook, logbook.writing():
        # what stands there is of the tests' own day; the program goes by the clock of this machine
        body = {"of": 0, "right": False}
        logbook._enter(
            [Entry(kind=EntryKind.CLOCK_TRUSTED, at=datetime.now(UTC), person="Mona", body=body)]
        )
    return tmp_path


def long_note() -> bytes:
    """ "All clear", then three times more, a second between: long to hear."""
    words = load_sound(ALL_CLEAR).samples
    pause = np.zeros(RATE, np.float32)
    return opus(np.concatenate([words, *([pause, words] * 3)]), RATE)


def waiting(home):
    """Messages that are not yet dealt with."""
    with Logbook.open(home / "logbook.db") as logbook:
        return Inbox(logbook).waiting()


def answered(logbook):
    return [entry for entry in logbook.entries() if entry.kind is EntryKind.ANSWERED]


async def test_busy_with_a_voice_note_it_stops_and_hears_the_note_after_the_next_start(home):
    async with MediaStandIn() as server:
        async with program(home, server) as running:
            server.say(SAM, "12")
            await said(server, SAM, "Door 12")
            # once heard, the engines are loaded
            server.say(SAM, voice=server.file(ALL_CLEAR.read_bytes(), duration=1))
            await said(server, SAM, "Sign")
            server.say(SAM, "change doorway")
            await until(lambda: len(server.to(SAM)) == 3)
            server.say(SAM, voice=server.file(long_note(), duration=9))
            # stored just before it is heard
            await until(lambda: len(list((home / "recordings").iterdir())) == 2)
            before = len(server.to(SAM))
            await stopped(running)
        assert len(server.to(SAM)) == before
        with Logbook.open(home / "logbook.db") as logbook:
            assert len(answered(logbook)) == 1 and logbook.verify() == []
            assert len(Inbox(logbook).waiting()) == 1 and not Outbox(logbook).next_per_chat()
        async with program(home, server) as running:
            await until(lambda: not waiting(home))
            await stopped(running)
        with Logbook.open(home / "logbook.db") as logbook:
            assert not Inbox(logbook).waiting() and logbook.verify() == []
            assert any("reply_parameters" in each["given"] for each in server.to(SAM)[before:])


async def test_a_voice_that_cannot_be_broken_off_holds_no_stop_up(home):
    with Logbook.open(home / "logbook.db") as logbook:
        Chats(logbook).belong(f"telegram/{SAM}", "Sam")
        set_read_aloud(logbook, "Sam", True, NOON)
    slow = home / "slow-voice"
    slow.write_text(f"#!/bin/sh\ntouch {home}/speaking\nexec sleep 3000\n", encoding="utf-8")
    slow.chmod(0o700)
    async with (
        MediaStandIn() as server,
        program(home, server, DOORROUND_VOICE=str(slow)) as running,
    ):
        server.say(SAM, "12")
        await said(server, SAM, "Door 12")
        await until(lambda: (home / "speaking").exists())
        await stopped(running)
    with Logbook.open(home / "logbook.db") as logbook:
        assert (
            not Inbox(logbook).waiting()
            and not Outbox(logbook).next_per_chat()
            and logbook.verify() == []
        )
