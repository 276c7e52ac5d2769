"""A backup is whole, of one moment, proved before it counts, and can be put back."""

from __future__ import annotations

import hashlib
import os
import shutil
import stat
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.backup import back_up, last_backup
from doorround.logbook.errors import LogbookError
from doorround.logbook.store import Logbook

NOW = datetime(2026, 3, 2, 16, 0, tzinfo=UTC)
SOUND = b"OggS a voice"
HASH = hashlib.sha256(SOUND).hexdigest()


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A data folder with a checked door, a recording, settings and a key."""
    home = tmp_path / "home"
    (home / "recordings").mkdir(parents=True, mode=0o700)
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        logbook.add_door(visit.door("14"), "Mona", visit.at(-5))
        logbook.begin("chat", visit.start(visit.door("14")))
    (home / "recordings" / HASH).write_bytes(SOUND)
    (home / "doorround.toml").write_text('zone = "Europe/London"\n', encoding="utf-8")
    (home / "link-keys.json").write_text("[]", encoding="utf-8")
    return home


def test_a_copy_holds_all_and_opens_by_itself(home: Path, tmp_path: Path) -> None:
    place, head = back_up(home, tmp_path / "copies", NOW)
    assert place.name == "2026-03-02T160000Z"
    assert sorted(path.name for path in place.iterdir()) == [
        "doorround.toml",
        "link-keys.json",
        "logbook.db",
        "logbook.noted",
    ]
    with Logbook.open(place / "logbook.db") as copy:
        assert copy.verify() == []
        assert copy.head() == head
        assert [door.number for door in copy.doors()] == ["14"]
    assert (tmp_path / "copies" / "recordings" / HASH).read_bytes() == SOUND


def test_each_file_of_a_copy_is_on_the_disk_before_it_has_its_name(
    home: Path, tmp_path: Path, kept_by_the_disk: list[tuple[str, int | None]]
) -> None:
    back_up(home, tmp_path / "copies", NOW)
    assert sorted(kept_by_the_disk, key=lambda kept: kept[0]) == [
        (".2026-03-02T160000Z.part", None),  # the folder, for the name of logbook.noted
        (f".{HASH}.part", len(SOUND)),
        (".doorround.toml.part", len('zone = "Europe/London"\n')),
        (".link-keys.json.part", 2),
        ("logbook.noted.part", 112),
    ]


def test_a_copy_put_back_goes_on_where_it_stood(home: Path, tmp_path: Path) -> None:
    place, _ = back_up(home, tmp_path / "copies", NOW)
    shutil.rmtree(home)
    shutil.copytree(place, home)
    shutil.copytree(tmp_path / "copies" / "recordings", home / "recordings")
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        standing = logbook.position("chat")
        assert standing is not None and standing.door.number == "14"


def test_what_is_entered_while_it_is_copied_is_whole_or_not_in_it(
    home: Path, tmp_path: Path
) -> None:
    with Logbook.open(home / "logbook.db", "Europe/London") as busy, busy.writing():
        busy.note_alone("entered while copying", "Mona", visit.at(1))
        place, head = back_up(home, tmp_path / "copies", NOW)
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook:
        assert logbook.head().count == head.count + 1
    with Logbook.open(place / "logbook.db") as copy:
        assert copy.verify(head) == []


def test_a_damaged_logbook_makes_no_backup(home: Path, tmp_path: Path) -> None:
    path = home / "logbook.db"
    raw(
        path, "DROP TRIGGER entries_never_change", "UPDATE entries SET person = 'Eve' WHERE seq = 1"
    )
    with pytest.raises(LogbookError, match=r"damaged: .*doorround logbook verify"):
        back_up(home, tmp_path / "copies", NOW)
    assert last_backup(tmp_path / "copies") is None


def test_each_file_is_copied_once_and_what_was_deleted_as_set_goes_from_the_copies(
    home: Path, tmp_path: Path
) -> None:
    target = tmp_path / "copies"
    back_up(home, target, NOW)
    before = (target / "recordings" / HASH).stat().st_mtime_ns
    back_up(home, target, NOW + timedelta(days=1))
    assert (target / "recordings" / HASH).stat().st_mtime_ns == before
    with Logbook.open(home / "logbook.db", "Europe/London") as logbook, logbook.writing():
        gone = Entry(
            kind=EntryKind.RECORDINGS_TIDIED,
            at=visit.at(9),
            person="Mona",
            body={"deleted": [HASH]},
        )
        logbook._enter([gone])
    (home / "recordings" / HASH).unlink()
    back_up(home, target, NOW + timedelta(days=2))
    assert not (target / "recordings" / HASH).exists()
    assert last_backup(target) == NOW + timedelta(days=2)


def test_a_recording_that_is_lost_stays_in_the_copies(home: Path, tmp_path: Path) -> None:
    back_up(home, tmp_path / "copies", NOW)
    (home / "recordings" / HASH).unlink()
    back_up(home, tmp_path / "copies", NOW + timedelta(days=1))
    assert (tmp_path / "copies" / "recordings" / HASH).read_bytes() == SOUND


@pytest.mark.skipif(os.name != "posix", reason="rights of POSIX")
def test_nobody_else_may_read_a_copy(home: Path, tmp_path: Path) -> None:
    place, _ = back_up(home, tmp_path / "copies", NOW)
    for path in (place, *place.iterdir(), *(tmp_path / "copies" / "recordings").iterdir()):
        assert not stat.S_IMODE(path.stat().st_mode) & 0o077, path


def test_a_copy_in_the_data_folder_itself_is_refused(home: Path) -> None:
    with pytest.raises(LogbookError, match=r"lies in the data folder"):
        back_up(home, home / "copies", NOW)


def test_the_command_says_where_the_copy_is_and_what_to_note(
    home: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("DOORROUND_HOME", str(home))
    refused = CliRunner().invoke(app, ["backup"])
    assert refused.exit_code == 2 and "doorround backup FOLDER" in refused.stderr
    monkeypatch.setenv("DOORROUND_BACKUPS", str(tmp_path / "copies"))
    said = CliRunner().invoke(app, ["backup"])
    assert said.exit_code == 0, said.output
    first, second = said.stdout.splitlines()
    assert first.startswith("Copied and verified: ") and first.endswith(", 2 entries.")
    assert second.startswith("Note this elsewhere: 2 ")
