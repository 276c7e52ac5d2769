"""Opening: new files, old files, files that are none, and several openers at once."""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.logbook.errors import LogbookError, NewerLogbookError
from doorround.logbook.schema import APPLICATION_ID, migrations
from doorround.logbook.store import Logbook
from tests.prepared_logbook import begin_as_copies

pytestmark = pytest.mark.migrates


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


def schema(path: Path) -> list[object]:
    return raw(path, "SELECT type, name, sql FROM sqlite_master ORDER BY name")


def test_the_copy_that_other_tests_begin_with_is_what_the_migrations_make(path: Path) -> None:
    made = ("PRAGMA application_id", "PRAGMA user_version", "PRAGMA page_size", "PRAGMA encoding")
    Logbook.open(path).close()
    copied = path.with_name("copied.db")
    begin_as_copies()
    Logbook.open(copied).close()
    assert schema(copied) == schema(path)
    assert [raw(copied, asked) for asked in made] == [raw(path, asked) for asked in made]
    done = "SELECT migration_set, name FROM _sqlite_migrations ORDER BY id"
    assert raw(copied, done) == raw(path, done)
    assert raw(copied, "PRAGMA journal_mode") == [("wal",)]


def test_a_new_file_becomes_a_logbook(path: Path) -> None:
    Logbook.open(path).close()
    assert raw(path, "PRAGMA application_id") == [(APPLICATION_ID,)]
    assert raw(path, "PRAGMA journal_mode") == [("wal",)]
    names = [name for (name,) in raw(path, "SELECT name FROM _sqlite_migrations ORDER BY id")]
    assert names == [
        "entries_and_talks",
        "views_of_entries",
        "talks_without_a_door",
        "people_and_groups",
        "inbox_and_outbox",
        "photos_and_amended_notes",
        "menus_of_chats",
        "what_messages_gave",
        "due_lists",
        "defects_followed",
        "reminders_entered",
        "due_from_an_index",
        "who_has_questions_read",
        "defects_keep_their_numbers",
        "clock_in_doubt",
        "tries_of_updates",
        "what_people_sent",
        "doors_moved_and_retired",
        "post_by_channel",
        "plain_names",
        "the_past_as_it_was",
        "door_status_and_visits",
        "short_looks",
        "indexes_of_summaries",
        "rows_digested",
    ]


def test_an_empty_file_becomes_a_logbook(path: Path) -> None:
    path.touch()
    with Logbook.open(path) as logbook:
        assert logbook.verify() == []


def test_opening_again_changes_nothing(path: Path) -> None:
    Logbook.open(path).close()
    before = schema(path), raw(path, "SELECT * FROM _sqlite_migrations")
    Logbook.open(path).close()
    assert (schema(path), raw(path, "SELECT * FROM _sqlite_migrations")) == before


def test_every_table_is_strict(path: Path) -> None:
    Logbook.open(path).close()
    tables = raw(
        path, "SELECT name FROM pragma_table_list WHERE type = 'table' AND strict = 1 ORDER BY name"
    )
    wanted = (
        "channels chats checklists door_names door_search door_status entries inbox joining"
        " message_effects outbox processed_messages recordings_sent row_digests strangers"
        " talks visits"
    )
    assert [name for (name,) in tables] == wanted.split()


def test_no_table_of_ours_is_without_types(path: Path) -> None:
    Logbook.open(path).close()
    sql = (
        "SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table' AND strict = 0"
    )
    loose = {name for (name,) in raw(path, sql)}
    assert {name for name in loose if not name.startswith(("sqlite_", "_sqlite_"))} == set()


def test_the_connection_is_set_to_keep_what_it_says_it_kept(path: Path) -> None:
    wanted = {"foreign_keys": 1, "synchronous": 2, "recursive_triggers": 1, "busy_timeout": 10_000}
    with Logbook.open(path) as logbook:
        assert {
            name: logbook._db.conn.execute(f"PRAGMA {name}").fetchone()[0] for name in wanted
        } == wanted


def test_a_migration_that_fails_leaves_the_file_empty(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(db: object) -> None:
        raise RuntimeError("halfway")

    monkeypatch.setattr(migrations._migrations[1], "fn", fail)
    with pytest.raises(RuntimeError, match="halfway"):
        Logbook.open(path)
    assert schema(path) == []
    monkeypatch.undo()
    with Logbook.open(path) as logbook:
        assert logbook.verify() == []


def test_a_file_that_is_no_database_is_left_alone(path: Path) -> None:
    path.write_text("number,floor\n14,1\n" * 100)
    before = path.read_bytes()
    with pytest.raises(
        LogbookError, match=r"logbook\.db is not a logbook\. Give the path of a logbook"
    ):
        Logbook.open(path)
    assert path.read_bytes() == before


def test_another_programs_database_is_left_alone(path: Path) -> None:
    raw(path, "CREATE TABLE recipes (name)")
    before = path.read_bytes()
    with pytest.raises(LogbookError, match=r"logbook\.db is an SQLite database but no logbook"):
        Logbook.open(path)
    assert path.read_bytes() == before


def test_a_later_versions_logbook_is_left_alone(path: Path) -> None:
    Logbook.open(path).close()
    raw(
        path,
        "INSERT INTO _sqlite_migrations (migration_set, name, applied_at) VALUES ('logbook',"
        " 'of_tomorrow', '')",
    )
    before = path.read_bytes()
    with pytest.raises(
        NewerLogbookError, match=r"later version of doorround \(of_tomorrow\).*install that version"
    ):
        Logbook.open(path)
    assert path.read_bytes() == before


def test_a_folder_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(
        LogbookError, match=r"nowhere/logbook\.db cannot be opened\. See that its folder exists"
    ):
        Logbook.open(tmp_path / "nowhere" / "logbook.db")


def test_an_unknown_time_zone_is_refused_before_anything_is_written(path: Path) -> None:
    with pytest.raises(LogbookError, match='"Mars/Olympus" is not a time zone'):
        Logbook.open(path, zone="Mars/Olympus")
    assert not path.exists()


def test_an_entry_of_an_unknown_kind_is_named(path: Path) -> None:
    with Logbook.open(path) as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(0))
    sql = raw(path, "SELECT sql FROM sqlite_master WHERE name = 'entries_never_change'")[0][0]
    raw(path, "DROP TRIGGER entries_never_change", "UPDATE entries SET kind = 'door painted'", sql)
    with (
        Logbook.open(path) as logbook,
        pytest.raises(LogbookError, match=r"Entry 1 cannot be read: .*'door added'"),
    ):
        logbook.entries()


def test_a_full_disk_loses_nothing_that_was_kept(path: Path) -> None:
    with Logbook.open(path) as logbook:
        logbook.add_door(visit.door("1"), "Mona", visit.at(0))
        pages = logbook._db.conn.execute("PRAGMA page_count").fetchone()[0]
        logbook._db.conn.execute(f"PRAGMA max_page_count = {pages + 2}")
        kept = 1
        with pytest.raises(
            LogbookError,
            match=r"logbook\.db cannot grow, the disk is full\. Make room and try again",
        ):
            for number in range(2, 1000):
                logbook.add_door(visit.door(str(number)), "Mona", visit.at(0))
                kept = number
        assert len(logbook.doors()) == kept
        assert logbook.verify() == []
        logbook._db.conn.execute("PRAGMA max_page_count = 1000000")
        logbook.add_door(visit.door("at last"), "Mona", visit.at(1))
        assert len(logbook.doors()) == kept + 1


@pytest.fixture
def shut_folder() -> Iterator[Path]:
    """A folder with a logbook in it where nobody but root may write."""
    folder = Path(tempfile.mkdtemp())
    Logbook.open(folder / "logbook.db").close()
    (folder / "logbook.db").chmod(0o444)
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)
    shutil.rmtree(folder)


@pytest.mark.parametrize("name", ["logbook.db", "new.db"])
def test_a_folder_that_may_not_be_written_is_named(shut_folder: Path, name: str) -> None:
    # root may write anywhere, so the child first becomes somebody else
    script = (
        "import os, sys\n"
        "from doorround.logbook.store import Logbook, LogbookError\n"
        "if os.geteuid() == 0: os.seteuid(65534)\n"
        "try: Logbook.open(sys.argv[1])\n"
        "except LogbookError as error: print(error)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", script, str(shut_folder / name)],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert done.stderr == ""
    assert f"{name} cannot be" in done.stdout
    assert "its folder" in done.stdout


def test_foreign_keys_hold(path: Path) -> None:
    with Logbook.open(path) as logbook, pytest.raises(sqlite3.IntegrityError, match="FOREIGN KEY"):
        logbook._db.conn.execute(
            "INSERT INTO talks VALUES ('chat', '{}', 'no such checklist', '14', '')"
        )
