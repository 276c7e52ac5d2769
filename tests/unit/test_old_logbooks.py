"""A logbook of every earlier layout, made by the program of its time, loses nothing when opened."""

from __future__ import annotations

import lzma
import os
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from small_visit import raw

from doorround.domain.check import Stage
from doorround.domain.judging.severity import Targets
from doorround.logbook.defects import read_defects
from doorround.logbook.opening import reading
from doorround.logbook.schema import migrations
from doorround.logbook.store import Logbook

LAYOUTS = sorted((Path(__file__).parent / "layouts").glob("*.db.xz"))
PROGRAM = [sys.executable, "-c", "from doorround.cli.app import main; main()"]


@pytest.fixture(params=LAYOUTS, ids=lambda path: path.name.removesuffix(".db.xz"))
def old(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A logbook as the program of that time left it."""
    path = tmp_path / "home" / "logbook.db"
    path.parent.mkdir(mode=0o700)
    path.write_bytes(lzma.decompress(request.param.read_bytes()))
    path.chmod(0o600)
    return path


def entries_of(path: Path) -> list[Any]:
    with closing(sqlite3.connect(path)) as conn:
        return conn.execute("SELECT * FROM entries ORDER BY seq").fetchall()


def test_every_file_is_of_a_layout_of_its_own() -> None:
    known = [migration.name for migration in migrations._migrations]
    last = [path.name[3:].removesuffix(".db.xz") for path in LAYOUTS]
    assert len(LAYOUTS) >= 20
    assert set(last) <= set(known)


def test_an_old_logbook_is_brought_up_to_date_and_keeps_every_entry_as_it_was(old: Path) -> None:
    before = entries_of(old)
    # later programs enter messages too, and ask other questions
    assert len(before) in (18, 20)
    with Logbook.open(old, "Europe/London") as logbook:
        assert logbook.verify() == []
        assert [migration.name for migration in migrations.pending(logbook._db)] == []
    assert entries_of(old) == before


def test_what_an_old_logbook_says_is_read_as_it_was_meant(old: Path) -> None:
    with Logbook.open(old, "Europe/London") as logbook:
        assert sorted(door.number for door in logbook.doors()) == ["12", "R3"]
        [signed] = logbook.checks("R3")
        [left_open] = logbook.checks("12")
        assert (signed.stage, signed.person) == (Stage.SIGNED, "Robin")
        assert (left_open.stage, left_open.person) == ("open", "Ines")
        assert [answer.heard for answer in logbook.answers(signed.id)][-1] == "two screws missing"
        found = read_defects(logbook, Targets())
        whats = sorted(defect.what for defect in found.all.values())
    assert len(whats) == 2 and "screws missing" in whats[0] and "painted over" in whats[1]


def test_a_check_left_open_under_an_old_layout_can_be_taken_up(old: Path) -> None:
    with Logbook.open(old, "Europe/London") as logbook:
        standing = logbook.position("terminal/Ines")
        assert standing is not None
        assert (standing.door.number, standing.person, standing.stage) == (
            "12",
            "Ines",
            Stage.ASKING,
        )


def test_an_old_logbook_that_cannot_be_written_is_read_from_a_copy(old: Path) -> None:
    before = old.read_bytes()
    with reading(old, "Europe/London") as logbook:
        assert logbook.verify() == []
    assert old.read_bytes() == before


def test_a_logbook_of_a_later_version_is_refused_with_what_to_do_and_left_alone(
    tmp_path: Path,
) -> None:
    home = tmp_path / "home"
    home.mkdir(mode=0o700)
    path = home / "logbook.db"
    Logbook.open(path).close()
    columns = "migration_set, name, applied_at"
    later = "'logbook', 'of_tomorrow', ''"
    raw(path, f"INSERT INTO _sqlite_migrations ({columns}) VALUES ({later})")
    before = path.read_bytes()
    given = {**os.environ, "DOORROUND_HOME": str(home)}
    for words in (["doors", "list"], ["doors", "add", "12"], ["due"], ["logbook", "verify"]):
        said = subprocess.run(
            [*PROGRAM, *words], env=given, capture_output=True, text=True, check=False
        )
        assert said.returncode == 2
        assert "was written by a later version of doorround" in said.stderr
        assert "install that version or a later one" in said.stderr
        assert said.stderr.count("\n") == 1
    assert path.read_bytes() == before
