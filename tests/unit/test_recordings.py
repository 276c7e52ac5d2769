"""Recordings go the set days after their checks are signed, never before, and the logbook still
stands as it was.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
import small_visit as visit

from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.logbook.errors import UnknownPersonError
from doorround.logbook.recordings import own_data, plan_tidying, tidy_recordings
from doorround.logbook.store import Logbook

DAY = timedelta(days=1)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_person("Ines", "caretaker", visit.at(-6))
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        yield logbook


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "recordings"
    folder.mkdir()
    return folder


def record(folder: Path, sound: bytes) -> str:
    hash = hashlib.sha256(sound).hexdigest()
    (folder / hash).write_bytes(sound)
    return hash


def check(logbook: Logbook, id: str, hash: str, stage: Stage | None, minute: float = 0) -> None:
    """A check with one spoken answer; closed, where a stage is given, a minute after it."""
    turn = visit.start(visit.door(), id=id, minute=minute)
    logbook.begin(f"chat {id}", turn)
    turn = visit.answer(turn.check, "seals", visit.SOUND, minute)
    spoken = turn.enter[0].model_copy(update={"body": {**turn.enter[0].body, "audio_sha256": hash}})
    logbook.keep(f"chat {id}", None, Turn(turn.check, (), (spoken,)))
    if stage is not None:
        logbook.keep(f"chat {id}", None, visit.close(turn.check, minute + 1, stage))


def test_a_signed_checks_recording_goes_on_the_day_and_its_hash_stays(
    logbook: Logbook, folder: Path
) -> None:
    hash = record(folder, b"seals fine")
    check(logbook, "c1", hash, Stage.SIGNED)
    signed = visit.at(1)
    assert tidy_recordings(
        logbook, folder, 30, signed + 30 * DAY - timedelta(seconds=1)
    ).too_young == (hash,)
    assert (folder / hash).is_file()
    assert tidy_recordings(logbook, folder, 30, signed + 30 * DAY).delete == (hash,)
    assert not (folder / hash).exists()
    assert logbook.answers("c1")[0].audio_sha256 == hash
    assert logbook.entries()[-1].body == {"deleted": [hash], "days": 30}
    assert logbook.verify() == []


@pytest.mark.parametrize("stage", [None, Stage.CANCELLED])
def test_nothing_unsigned_is_ever_deleted(
    logbook: Logbook, folder: Path, stage: Stage | None
) -> None:
    hash = record(folder, b"seals fine")
    loose = record(folder, b"not understood")
    (folder / "notes.txt").write_text("no recording")
    check(logbook, "c1", hash, stage)
    before = logbook.head()
    done = tidy_recordings(logbook, folder, 1, visit.at(0) + 9999 * DAY)
    assert done.delete == () and set(done.unsigned) == {hash, loose}
    assert len(list(folder.iterdir())) == 3 and logbook.head() == before


def test_a_recording_of_two_checks_waits_for_both(logbook: Logbook, folder: Path) -> None:
    hash = record(folder, b"seals fine")
    check(logbook, "c1", hash, Stage.SIGNED)
    check(logbook, "c2", hash, None, minute=5)
    assert tidy_recordings(logbook, folder, 1, visit.at(0) + 99 * DAY).unsigned == (hash,)


def test_the_later_signature_counts() -> None:
    early = visit.at(0)
    late = visit.at(0) + 10 * DAY
    for named in ([("a", early), ("a", late)], [("a", late), ("a", early)]):
        assert plan_tidying(["a"], named, 5, early + 12 * DAY).too_young == ("a",)
    for named in ([("a", early), ("a", None)], [("a", None), ("a", early)]):
        assert plan_tidying(["a"], named, 5, early + 99 * DAY).unsigned == ("a",)


@pytest.mark.parametrize("days", [0, -1])
def test_recordings_are_kept_for_one_day_at_least(days: int) -> None:
    with pytest.raises(ValueError, match="one day at least"):
        plan_tidying([], [], days, visit.at(0))


def test_a_dry_run_deletes_and_enters_nothing(logbook: Logbook, folder: Path) -> None:
    hash = record(folder, b"seals fine")
    check(logbook, "c1", hash, Stage.SIGNED)
    before = logbook.head()
    assert tidy_recordings(logbook, folder, 1, visit.at(0) + 99 * DAY, dry_run=True).delete == (
        hash,
    )
    assert (folder / hash).is_file() and logbook.head() == before


def test_a_stop_between_entry_and_deletion_is_made_good_without_a_second_entry(
    logbook: Logbook, folder: Path
) -> None:
    hash = record(folder, b"seals fine")
    check(logbook, "c1", hash, Stage.SIGNED)
    tidy_recordings(logbook, folder, 1, visit.at(0) + 99 * DAY)
    record(folder, b"seals fine")
    before = logbook.head()
    assert tidy_recordings(logbook, folder, 1, visit.at(0) + 100 * DAY).delete == (hash,)
    assert not (folder / hash).exists() and logbook.head() == before


def test_ones_own_data_is_all_that_is_ones_own_and_nothing_of_others(
    logbook: Logbook, folder: Path
) -> None:
    hash = record(folder, b"seals fine")
    check(logbook, "c1", hash, Stage.SIGNED)
    tidy_recordings(logbook, folder, 1, visit.at(0) + 99 * DAY, by="Mona")
    given = json.loads(json.dumps(own_data(logbook, "Ines", folder, visit.at(9))))
    assert given["about"]["name"] == "Ines" and given["about"]["role"] == "caretaker"
    assert {entry["person"] for entry in given["entries"]} == {"Ines"}
    assert [entry["kind"] for entry in given["entries"]] == [
        "person added",
        "check started",
        "answered",
        "signed",
    ]
    assert given["recordings"] == [{"sha256": hash, "stored": False, "deleted_as_set": True}]
    with pytest.raises(UnknownPersonError):
        own_data(logbook, "Nobody", folder, visit.at(9))


def test_what_others_did_to_a_person_is_theirs_too(logbook: Logbook, folder: Path) -> None:
    from doorround.domain.people import Role
    from doorround.logbook.people import People

    People(logbook).change_role("Ines", Role.AUDITOR, (), "Mona", visit.at(3))
    kinds = [entry["kind"] for entry in own_data(logbook, "Ines", folder, visit.at(9))["entries"]]
    assert kinds == ["person added", EntryKind.ROLE_CHANGED]
