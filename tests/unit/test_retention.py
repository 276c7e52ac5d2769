"""What the service does by itself, by a clock of the test's own: recordings go once a day, menus
follow roles.
"""

from __future__ import annotations

import hashlib
from datetime import datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit

from doorround.channels.messenger import retention
from doorround.channels.messenger.retention import KeepingDays, Retention
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook

SIGNED = visit.at(1)


class Clock:
    now = SIGNED

    def __call__(self) -> datetime:
        return self.now


def signed_check(logbook: Logbook, folder: Path) -> str:
    """A check with one spoken answer, signed; the hash of its recording."""
    folder.mkdir()
    hash = hashlib.sha256(b"seals fine").hexdigest()
    (folder / hash).write_bytes(b"seals fine")
    logbook.add_door(visit.door(), "Mona", visit.at(-5))
    turn = visit.start(visit.door(), id="c1", minute=0)
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", visit.SOUND, 0)
    spoken = turn.enter[0].model_copy(update={"body": {**turn.enter[0].body, "audio_sha256": hash}})
    logbook.keep("chat", None, Turn(turn.check, (), (spoken,)))
    logbook.keep("chat", None, visit.close(turn.check, 1, Stage.SIGNED))
    return hash


def test_a_recording_goes_by_itself_on_its_day_and_its_hash_stays(tmp_path: Path) -> None:
    clock = Clock()
    folder = tmp_path / "recordings"
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        hash = signed_check(logbook, folder)
        (folder / ("b" * 64)).write_bytes(b"not understood")
        keeping = Retention("telegram", logbook, KeepingDays(folder, 30), clock, lambda: None)
        for day in (0, 29):
            clock.now = SIGNED + timedelta(days=day)
            keeping.look()
            assert (folder / hash).is_file()
        clock.now = SIGNED + timedelta(days=30)
        keeping.look()
        assert [path.name for path in folder.iterdir()] == ["b" * 64]
        assert logbook.entries()[-1].kind is EntryKind.RECORDINGS_TIDIED and logbook.verify() == []
        assert logbook.answers("c1")[0].audio_sha256 == hash


def test_it_tidies_at_the_start_and_then_once_a_day(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = Clock()
    days = []
    whole = retention.tidy_recordings

    def counted(logbook: Logbook, folder: Path, keep: int, now: datetime) -> object:
        days.append(now - SIGNED)
        return whole(logbook, folder, keep, now)

    monkeypatch.setattr(retention, "tidy_recordings", counted)
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        keeping = Retention(
            "telegram", logbook, KeepingDays(tmp_path / "recordings", 30), clock, lambda: None
        )
        for hours in (0, 1, 23.9, 24, 25, 47.9, 49, 72, 73):
            clock.now = SIGNED + timedelta(hours=hours)
            keeping.look()
    assert days == [timedelta(hours=hours) for hours in (0, 24, 49, 73)]


def test_what_fails_stops_nothing_and_is_tried_at_the_next_look(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    clock = Clock()
    folder = tmp_path / "recordings"
    clock.now = SIGNED + timedelta(days=40)
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        hash = signed_check(logbook, folder)
        keeping = Retention("telegram", logbook, KeepingDays(folder, 30), clock, lambda: None)
        with monkeypatch.context() as patched:
            patched.setattr(Outbox, "tidy", lambda *given: 1 / 0)
            keeping.look()
        assert (folder / hash).is_file() and "will be retried" in caplog.text
        keeping.look()
        assert not (folder / hash).exists()
