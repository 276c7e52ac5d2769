"""The logbook only grows: the file itself refuses everything else, whoever asks."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.logbook.store import Logbook

NEXT = "'2026-03-02T09:00:00.000000Z', 'UTC', 'noted', '14', 'c1', 'Ines', '{}', :before, :hash"
COLUMNS = "seq, at, zone, kind, door, check_id, person, body, before, hash"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A logbook of four entries: a door, a check, two answers."""
    path = tmp_path / "logbook.db"
    with Logbook.open(path) as logbook:
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        turn = visit.start(visit.door())
        logbook.begin("chat", turn)
        turn = visit.answer(turn.check, "hinges.count", visit.THREE, 1)
        logbook.keep("chat", "m1", turn)
        logbook.keep("chat", "m2", visit.answer(turn.check, "seals", visit.SOUND, 2))
    return path


def entries(path: Path) -> list[object]:
    return raw(path, "SELECT * FROM entries ORDER BY seq")


def last_hash(path: Path) -> str:
    return str(raw(path, "SELECT hash FROM entries ORDER BY seq DESC LIMIT 1")[0][0])


@pytest.mark.parametrize("column", COLUMNS.split(", "))
def test_no_field_of_an_entry_can_be_changed(path: Path, column: str) -> None:
    before = entries(path)
    with pytest.raises(
        sqlite3.IntegrityError, match="an entry is never changed, enter a correction"
    ):
        raw(path, f"UPDATE entries SET {column} = {column} WHERE seq = 3")
    assert entries(path) == before


@pytest.mark.parametrize("which", ["seq = 4", "seq = 2", "true"])
def test_no_entry_can_be_deleted(path: Path, which: str) -> None:
    before = entries(path)
    with pytest.raises(sqlite3.IntegrityError, match="an entry is never deleted"):
        raw(path, f"DELETE FROM entries WHERE {which}")
    assert entries(path) == before


@pytest.mark.parametrize("recursive", ["ON", "OFF"])
@pytest.mark.parametrize(
    "verb", ["REPLACE", "INSERT OR REPLACE", "INSERT OR IGNORE", "INSERT OR FAIL", "INSERT"]
)
@pytest.mark.parametrize("seq", ["1", "4", "NULL", "0", "6", "-1"])
def test_no_verb_puts_an_entry_over_another_or_out_of_turn(
    path: Path, verb: str, seq: str, recursive: str
) -> None:
    before = entries(path)
    with pytest.raises(sqlite3.IntegrityError, match="a new entry takes the next number"):
        raw(
            path,
            f"PRAGMA recursive_triggers = {recursive}",
            f"{verb} INTO entries ({COLUMNS}) VALUES ({seq}, {NEXT})",
            before=last_hash(path),
            hash="f" * 64,
        )
    assert entries(path) == before


def test_an_upsert_changes_nothing(path: Path) -> None:
    before = entries(path)
    with pytest.raises(sqlite3.IntegrityError, match="a new entry takes the next number"):
        raw(
            path,
            f"INSERT INTO entries ({COLUMNS}) VALUES (3, {NEXT}) ON CONFLICT (seq) DO UPDATE SET"
            " body = excluded.body",
            before=last_hash(path),
            hash="f" * 64,
        )
    assert entries(path) == before


@pytest.mark.parametrize("verb", ["REPLACE", "INSERT"])
def test_a_second_answer_of_the_same_id_does_not_push_out_the_first(path: Path, verb: str) -> None:
    before = entries(path)
    with pytest.raises(sqlite3.IntegrityError, match="this answer stands in the logbook already"):
        raw(
            path,
            "PRAGMA recursive_triggers = OFF",
            f"""{verb} INTO entries ({COLUMNS})
            SELECT 5, at, zone, kind, door, check_id, person, body, :before, :hash
                FROM entries WHERE seq = 3""",
            before=last_hash(path),
            hash="f" * 64,
        )
    assert entries(path) == before


def test_the_next_entry_must_name_the_last_hash(path: Path) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="a new entry names the hash of the last one"):
        raw(
            path,
            f"INSERT INTO entries ({COLUMNS}) VALUES (5, {NEXT})",
            before="0" * 64,
            hash="f" * 64,
        )


def test_an_entry_in_turn_is_taken(path: Path) -> None:
    raw(
        path,
        f"INSERT INTO entries ({COLUMNS}) VALUES (5, {NEXT})",
        before=last_hash(path),
        hash="f" * 64,
    )
    assert len(entries(path)) == 5


@pytest.mark.parametrize(
    ("column", "value"),
    [
        ("at", "'2 March 2026'"),
        ("at", "'2026-03-02T09:00:00Z'"),
        ("body", "'not JSON'"),
        ("body", "NULL"),
        ("person", "NULL"),
        ("hash", "'short'"),
        ("body", "x'00ff'"),
    ],
)
def test_columns_take_only_what_they_are_for(path: Path, column: str, value: str) -> None:
    given = {
        "at": "'2026-03-02T09:00:00.000000Z'",
        "zone": "'UTC'",
        "kind": "'noted'",
        "door": "'14'",
        "check_id": "'c1'",
        "person": "'Ines'",
        "body": "'{}'",
        "before": ":before",
        "hash": ":hash",
        column: value,
    }
    with pytest.raises(
        sqlite3.DatabaseError, match=r"constraint failed|cannot store BLOB|malformed JSON"
    ):
        raw(
            path,
            f"INSERT INTO entries (seq, {', '.join(given)}) VALUES (5,"
            f" {', '.join(given.values())})",
            before=last_hash(path),
            hash="f" * 64,
        )


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE checklists SET checklist = '{}'",
        "DELETE FROM checklists",
        "REPLACE INTO checklists SELECT hash, '{}' FROM checklists",
        (
            "INSERT INTO checklists SELECT hash, '{}' FROM checklists WHERE true ON CONFLICT DO"
            " UPDATE SET hash = hash"
        ),
    ],
)
def test_a_checklist_that_was_used_stays_as_it_was(path: Path, sql: str) -> None:
    before = raw(path, "SELECT * FROM checklists")
    with pytest.raises(sqlite3.IntegrityError, match="the logbook only grows"):
        raw(path, "PRAGMA recursive_triggers = OFF", sql)
    assert raw(path, "SELECT * FROM checklists") == before


def test_a_check_cannot_start_without_its_wording(path: Path) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="a check starts only with its checklist kept"):
        raw(
            path,
            f"INSERT INTO entries ({COLUMNS}) VALUES (5, {NEXT})".replace(
                "noted", "check started"
            ).replace("c1", "c2"),
            before=last_hash(path),
            hash="f" * 64,
        )
