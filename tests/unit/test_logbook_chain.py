"""Tampering with the file behind the logbook's back is found, and the first broken entry named."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from hashlib import sha256
from pathlib import Path

import pytest
import small_visit as visit
from small_visit import raw

from doorround.logbook.chain import NO_HASH, ChainFault, Head, canonical_json, digest, row_digest
from doorround.logbook.store import Logbook

UNGUARDED = (
    "DROP TRIGGER entries_never_change",
    "DROP TRIGGER entries_never_go",
    "DROP TRIGGER entries_follow",
    "DROP TRIGGER entries_once",
    "DROP TRIGGER entries_keep_wording",
    "PRAGMA ignore_check_constraints = ON",
)
FIELDS = "at, zone, kind, door, check_id, person, body, before"


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return visit.logbook_of_six_entries(tmp_path / "logbook.db")


def entry_faults(path: Path, noted: Head | None = None) -> list[ChainFault]:
    """Faults of the entries, without the guards that the tampering took away."""
    with Logbook.open(path) as logbook:
        return [fault for fault in logbook.verify(noted) if "guard" not in fault.what]


def test_an_empty_logbook_verifies(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "new.db") as logbook:
        assert logbook.verify() == []
        assert logbook.head() == Head(0, NO_HASH, 0)


def test_an_untouched_logbook_verifies(path: Path) -> None:
    with Logbook.open(path) as logbook:
        assert logbook.verify() == []
        assert (logbook.head().seq, logbook.head().count) == (6, 6)


def test_the_hash_is_the_documented_one() -> None:
    written = (
        b"doorround entry 1\n1:1,2:at,4:zone,4:kind,-,2:c1,6:Zo\xc3\xab A,2:{},64:"
        + b"0" * 64
        + b","
    )
    fields = (1, "at", "zone", "kind", None, "c1", "Zoë A", "{}", NO_HASH)
    assert digest(fields) == sha256(written).hexdigest()


def test_the_hash_of_a_row_is_the_documented_one_and_holds_its_table() -> None:
    written = b"doorround row 1\n9:strangers,10:telegram/1,-,1:2,"
    assert row_digest("strangers", ("telegram/1", None, 2)) == sha256(written).hexdigest()
    # a row moved into another table of as many columns is another row
    assert row_digest("chats", ("telegram/1", None, 2)) != sha256(written).hexdigest()


def test_fields_cannot_trade_bytes_with_their_neighbours() -> None:
    assert digest(["ab", "c"]) != digest(["a", "bc"])
    assert digest([None]) != digest([""]) != digest(["-"])


def test_the_same_body_is_always_written_the_same() -> None:
    assert canonical_json({"b": [1, 2.5], "a": "é"}) == '{"a":"é","b":[1,2.5]}'


@pytest.mark.parametrize("value", [{"x": float("nan")}, {"x": object()}, {"x": "\ud800"}])
def test_what_json_cannot_say_is_refused(value: object) -> None:
    with pytest.raises(ValueError, match="cannot be kept as JSON"):
        canonical_json(value)


def test_a_changed_body_is_found(path: Path) -> None:
    raw(
        path,
        *UNGUARDED,
        "UPDATE entries SET body = replace(body, '\"number\":3', '\"number\":4') WHERE seq = 3",
    )
    assert entry_faults(path) == [ChainFault(3, "entry 3 is not as it was kept")]


def test_a_changed_body_with_its_hash_made_anew_breaks_the_next_entry(path: Path) -> None:
    raw(
        path,
        *UNGUARDED,
        "UPDATE entries SET body = replace(body, '\"number\":3', '\"number\":4') WHERE seq = 3",
    )
    row = raw(path, f"SELECT seq, {FIELDS} FROM entries WHERE seq = 3")[0]
    raw(path, "UPDATE entries SET hash = :hash WHERE seq = 3", hash=digest(row))
    assert entry_faults(path) == [
        ChainFault(4, "entry 4 does not follow the entry that stands before it")
    ]


def test_an_entry_taken_out_of_the_middle_is_found(path: Path) -> None:
    raw(path, *UNGUARDED, "DELETE FROM entries WHERE seq = 4")
    faults = entry_faults(path)
    assert faults[0] == ChainFault(4, "entry 4 is missing")
    assert faults[1] == ChainFault(5, "entry 5 does not follow the entry that stands before it")


def test_the_first_entry_taken_out_is_found(path: Path) -> None:
    raw(path, *UNGUARDED, "DELETE FROM entries WHERE seq = 1")
    assert entry_faults(path)[0] == ChainFault(1, "entry 1 is missing")


def test_entries_cut_off_at_the_end_are_missed(path: Path) -> None:
    raw(path, *UNGUARDED, "DELETE FROM entries WHERE seq >= 5")
    assert entry_faults(path) == [ChainFault(5, "entries 5 to 6 are missing")]


def test_a_cut_end_is_still_seen_when_the_logbook_has_grown_on(path: Path) -> None:
    sql = raw(path, "SELECT sql FROM sqlite_master WHERE name = 'entries_never_go'")[0][0]
    raw(path, "DROP TRIGGER entries_never_go", "DELETE FROM entries WHERE seq = 6", sql)
    with Logbook.open(path) as logbook:
        logbook.add_door(visit.door("15"), "Mona", visit.at(9))
        assert logbook.verify() == [ChainFault(6, "entry 6 is missing")]


def test_a_cut_with_the_count_set_back_shows_only_against_a_noted_head(path: Path) -> None:
    with Logbook.open(path) as logbook:
        noted = logbook.head()
    cut = ("DELETE FROM entries WHERE seq = 6", "DELETE FROM visits WHERE seq = 6")
    raw(path, *UNGUARDED, *cut, "UPDATE sqlite_sequence SET seq = 5")
    raw(
        path, "DELETE FROM door_status", "INSERT INTO door_status SELECT * FROM door_status_entered"
    )
    assert entry_faults(path) == []
    assert entry_faults(path, noted) == [
        ChainFault(6, "entry 6 is not the one whose hash was noted")
    ]


def test_a_noted_head_still_holds_when_the_logbook_has_grown(path: Path) -> None:
    with Logbook.open(path) as logbook:
        noted = logbook.head()
        logbook.add_door(visit.door("15"), "Mona", visit.at(9))
        assert logbook.verify(noted) == []


def test_a_head_noted_after_the_first_entry_holds_and_that_of_an_empty_logbook_says_nothing(
    path: Path,
) -> None:
    with Logbook.open(path) as logbook:
        [first, *_] = logbook.entries()
        assert logbook.verify(Head(1, first.hash, 1)) == []
        assert [fault.seq for fault in logbook.verify(Head(1, "f" * 64, 1))] == [1]
        assert logbook.verify(Head(0, NO_HASH, 0)) == []


def test_two_entries_that_changed_places_are_found(path: Path) -> None:
    raw(
        path,
        *UNGUARDED,
        "UPDATE entries SET seq = 99 WHERE seq = 3",
        "UPDATE entries SET seq = 3 WHERE seq = 4",
        "UPDATE entries SET seq = 4 WHERE seq = 99",
    )
    faults = entry_faults(path)
    assert faults[0].seq == 3
    assert {fault.seq for fault in faults if "not as it was kept" in fault.what} == {3, 4}


def test_an_entry_slipped_in_before_the_first_is_found(path: Path) -> None:
    raw(
        path,
        *UNGUARDED,
        f"""INSERT INTO entries (seq, {FIELDS}, hash)
            SELECT 0, at, zone, kind, '13', check_id, person, body, before, hash FROM entries
            WHERE seq = 1""",
    )
    assert entry_faults(path)[0] == ChainFault(0, "entry 0 has a number that was never given out")


def test_bytes_changed_in_the_file_itself_are_found(path: Path) -> None:
    there = path.read_bytes()
    # the note's body stands once in the table; it is in no index
    assert there.count(b"draughty") == 1
    path.write_bytes(there.replace(b"draughty", b"perfect\xff"))
    assert entry_faults(path) == [ChainFault(5, "entry 5 is not as it was kept")]


def test_a_changed_checklist_is_found(path: Path) -> None:
    hash = raw(path, "SELECT hash FROM checklists")[0][0]
    raw(
        path,
        "DROP TRIGGER checklists_never_change",
        "UPDATE checklists SET checklist = replace(checklist, 'How are', 'Where are')",
    )
    assert entry_faults(path) == [
        ChainFault(None, f"the checklist {hash[:12]}… is not as it was kept")
    ]


def test_a_checklist_taken_away_is_found(path: Path) -> None:
    raw(path, "DELETE FROM talks", "DROP TRIGGER checklists_never_go", "DELETE FROM checklists")
    assert entry_faults(path) == [ChainFault(2, "the checklist of check c1 is missing")]


def test_a_guard_taken_away_or_weakened_is_found(path: Path) -> None:
    raw(
        path,
        "DROP TRIGGER entries_never_go",
        "DROP TRIGGER entries_never_change",
        "CREATE TRIGGER entries_never_change BEFORE UPDATE ON entries BEGIN SELECT 1; END",
    )
    with Logbook.open(path) as logbook:
        assert logbook.verify() == [
            ChainFault(None, 'the guard "entries_never_change" is gone or altered'),
            ChainFault(None, 'the guard "entries_never_go" is gone or altered'),
        ]


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("DROP VIEW findings", 'the view "findings" is gone or altered'),
        (
            "CREATE TRIGGER after_all AFTER INSERT ON entries BEGIN DELETE FROM outbox; END",
            'the trigger "after_all" was added: it is none of the logbook\'s',
        ),
        ("DROP INDEX door_names_by_id", 'the index "door_names_by_id" is gone or altered'),
        ("DROP TABLE outbox", 'the table "outbox" is gone or altered'),
    ],
)
def test_what_hides_entries_without_touching_them_is_found(
    path: Path, change: str, told: str
) -> None:
    raw(path, change)
    assert ChainFault(None, told) in entry_faults(path)


def test_a_view_that_shows_less_is_found(path: Path) -> None:
    with closing(sqlite3.connect(path)) as db:
        [(made,)] = db.execute("SELECT sql FROM sqlite_master WHERE name = 'findings'")
    raw(path, "DROP VIEW findings", f"{made} LIMIT 0")
    assert entry_faults(path) == [ChainFault(None, 'the view "findings" is gone or altered')]
