"""The line of the last entry beside the logbook: what the chain alone does not show."""

import shutil

import pytest
import small_visit as visit
from tampered_home import chain_anew, home, unguarded, verify

from doorround.logbook.backup import back_up
from doorround.logbook.errors import LogbookError
from doorround.logbook.noted_line import noted_faults
from doorround.logbook.opening import reading
from doorround.logbook.store import Logbook

__all__ = ["home", "verify"]
CUT = (
    "DELETE FROM entries WHERE seq = (SELECT max(seq) FROM entries)",
    "UPDATE sqlite_sequence SET seq = seq - 1 WHERE name = 'entries'",
)


def note(home):
    return home / "logbook.noted"


def test_the_last_entry_is_noted_and_the_line_follows_it(home):
    with Logbook.open(home / "logbook.db") as logbook:
        for minute in range(3):
            logbook.note_alone("more", "Sam", visit.at(90 + minute))
            [line] = note(home).read_text().splitlines()
            assert line.split()[:2] == [str(logbook.head().seq), logbook.head().hash]
            with logbook.writing():
                logbook._rows("SELECT 1")
        assert list(noted_faults(logbook)) == []
    assert note(home).stat().st_mode & 0o077 == 0


def test_nothing_is_noted_of_what_was_rolled_back(home):
    before = note(home).read_bytes()
    with Logbook.open(home / "logbook.db") as logbook:
        with pytest.raises(ZeroDivisionError), logbook.writing():
            logbook.note_alone("never", "Sam", visit.at(90))
            raise ZeroDivisionError
        assert note(home).read_bytes() == before
        with logbook.writing():
            logbook.note_alone("kept", "Sam", visit.at(91))
            with pytest.raises(ZeroDivisionError), logbook.writing():
                logbook.note_alone("never", "Sam", visit.at(92))
                raise ZeroDivisionError
        assert list(noted_faults(logbook)) == []


def test_an_end_cut_off_with_the_count_set_back_is_told_without_a_line_noted_elsewhere(
    verify, home
):
    [last] = note(home).read_text().splitlines()
    seq = int(last.split()[0])
    unguarded(home, *CUT)
    code, said = verify()
    assert code == 1
    assert f"entry {seq} stood here and is gone; the last is now entry {seq - 1}" in said
    assert "as when a backup is put back" in said


def test_a_chain_made_anew_is_told(verify, home):
    unguarded(home, "UPDATE entries SET person = 'Nobody' WHERE seq = 2", chain_anew)
    code, said = verify()
    assert code == 1 and "is not the one that stood here" in said


def test_an_older_copy_in_its_place_is_told_and_stays_told(verify, home, tmp_path):
    place, _ = back_up(home, tmp_path / "backups", visit.at(90))
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("signed off", "Sam", visit.at(95))
        gone = logbook.head().seq
    for path in home.glob("logbook.db*"):
        path.unlink()
    shutil.copy(place / "logbook.db", home / "logbook.db")
    code, said = verify()
    assert code == 1 and f"entry {gone} stood here and is gone" in said
    with pytest.raises(LogbookError, match="is not as it was kept"):
        back_up(home, tmp_path / "backups", visit.at(96))
    with Logbook.open(home / "logbook.db") as logbook:
        for minute in range(3):
            logbook.note_alone("another", "Sam", visit.at(97 + minute))
    code, said = verify()
    assert code == 1 and f"entry {gone} is not the one that stood here" in said
    assert len(note(home).read_text().splitlines()) == 2


def test_a_write_ahead_log_taken_away_is_told(verify, home):
    with Logbook.open(home / "logbook.db") as logbook:
        logbook._db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        logbook.note_alone("in the write-ahead log only", "Sam", visit.at(90))
        copy = home.parent / "copy"
        shutil.copytree(home, copy)
    (copy / "logbook.db-wal").unlink()
    shutil.rmtree(home)
    shutil.move(copy, home)
    code, said = verify()
    assert code == 1 and "stood here and is gone" in said


@pytest.mark.parametrize("content", [b"", b"nothing of ours\n", b"\xff\xfe"])
def test_a_note_that_was_altered_is_told(verify, home, content):
    note(home).write_bytes(content)
    code, said = verify()
    assert code == 1 and "logbook.noted, where the last entry is noted, was altered: line 1" in said
    assert "whether any are gone from the end is not shown" in said
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("more", "Sam", visit.at(95))
    assert verify()[0] == (1 if content else 0)


def test_a_note_that_is_behind_is_right(verify, home):
    before = note(home).read_bytes()
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("before the power went", "Sam", visit.at(95))
    note(home).write_bytes(before)
    assert verify()[0] == 0


def test_a_note_that_is_gone_is_told_and_stays_told(verify, home):
    note(home).unlink()
    code, said = verify()
    assert code == 1 and "logbook.noted, where the last entry is noted, is gone" in said
    with Logbook.open(home / "logbook.db") as logbook:
        assert not note(home).exists()
        logbook.note_alone("more", "Sam", visit.at(95))
    code, said = verify()
    assert code == 1 and "was gone and was begun anew" in said


def test_a_copy_of_the_logbook_alone_says_what_it_cannot_show(verify, home):
    note(home).unlink()
    code, said = verify("--entries-only")
    assert code == 0 and "No line is noted beside this file" in said
    [words] = [line for line in said.splitlines() if "elsewhere: " in line]
    line = words.partition("elsewhere: ")[2]
    assert "No line is noted" not in verify("--entries-only", line)[1]


def test_a_backup_has_a_note_of_its_own(verify, home, tmp_path, monkeypatch):
    place, head = back_up(home, tmp_path / "backups", visit.at(90))
    assert note(place).read_text().split()[:2] == [str(head.seq), head.hash]
    for folder in ("recordings", "photos"):
        shutil.copytree(tmp_path / "backups" / folder, place / folder)
    monkeypatch.setenv("DOORROUND_HOME", str(place))
    assert verify()[0] == 0
    with Logbook.open(place / "logbook.db") as logbook:
        logbook.note_alone("more", "Sam", visit.at(95))
    assert verify()[0] == 0


def test_a_logbook_of_before_there_were_notes_gets_one(verify, home):
    note(home).unlink()
    unguarded(home, "DELETE FROM row_digests WHERE of = 'logbook.noted'")
    assert verify()[0] == 0
    Logbook.open(home / "logbook.db").close()
    assert note(home).exists() and verify()[0] == 0


def test_a_journal_that_was_put_beside_is_told(verify, home):
    (home / "logbook.db-journal").write_bytes(bytes.fromhex("d9d505f920a163d7") + bytes(504))
    code, said = verify()
    assert code == 1 and "logbook.db-journal lies beside the logbook" in said


def test_every_command_that_opens_a_cut_logbook_says_so(verify, home):
    unguarded(home, *CUT)
    for command in (("doors", "list"), ("logbook", "show")):
        code, said = verify(command=command)
        assert code == 0 and "stood here and is gone" in said
    code, said = verify(command=("doctor",))
    assert code == 1 and "stood here and is gone" in said


def test_a_note_that_cannot_be_written_stops_no_turn(home):
    note(home).unlink()
    note(home).mkdir()
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("kept all the same", "Sam", visit.at(95))
        assert logbook.verify() == []
    note(home).rmdir()


def test_beside_another_writer_the_later_line_stays(home):
    with Logbook.open(home / "logbook.db") as one, Logbook.open(home / "logbook.db") as two:
        one.note_alone("first", "Sam", visit.at(95))
        two.note_alone("second", "Sam", visit.at(96))
        [line] = note(home).read_text().splitlines()
        assert int(line.split()[0]) == one.head().seq
    with reading(home / "logbook.db") as seen:
        assert list(noted_faults(seen)) == []


def test_verify_says_where_it_begins_and_what_to_do(verify, home):
    unguarded(home, "UPDATE entries SET person = 'Nobody' WHERE seq = 3")
    code, said = verify()
    assert code == 1 and "Entries 1 to 2 stand as they were kept, the last of them of 2026-" in said
    assert "copy the data folder as it is" in said
    unguarded(home, "UPDATE entries SET person = 'Nobody' WHERE seq = 1")
    assert "Nothing before it shows when that was." in verify()[1]


def test_verify_tells_what_it_cannot_know(verify, home):
    unguarded(home, "UPDATE entries SET person = 'Nobody' WHERE seq = 2", chain_anew)
    assert "The chain itself is unbroken" in verify()[1]


def test_a_chain_made_anew_and_broken_later_is_not_said_to_stand_up_to_there(verify, home):
    noted = note(home).read_bytes()
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("later", "Sam", visit.at(95))
        last = logbook.head().seq
    note(home).write_bytes(noted)
    unguarded(
        home,
        "UPDATE entries SET person = 'Nobody' WHERE seq = 2",
        chain_anew,
        f"UPDATE entries SET person = 'Nobody' WHERE seq = {last}",
    )
    said = verify()[1]
    assert "stand as they were kept" not in said
    assert f"The chain is unbroken up to entry {last}, but entry {last - 1} is not" in said


def test_verify_says_when_the_entries_stand(verify, home):
    unguarded(home, "UPDATE outbox SET turn = 9")
    assert "The entries themselves stand as they were kept." in verify()[1]


def test_a_chain_and_its_note_made_anew_do_not_agree_with_a_backup(
    verify, home, tmp_path, monkeypatch
):
    place, head = back_up(home, tmp_path / "backups", visit.at(90))
    (tmp_path / "backups" / "2026-01-01T000000Z").mkdir()
    (tmp_path / "backups" / "2026-01-01T000000Z" / "logbook.db").write_bytes(b"unreadable")
    monkeypatch.setenv("DOORROUND_BACKUPS", str(tmp_path / "backups"))
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("later", "Sam", visit.at(95))
    assert verify()[0] == 0
    unguarded(home, "UPDATE entries SET person = 'Nobody' WHERE seq = 2", chain_anew)
    note(home).unlink()
    code, said = verify()
    assert code == 1
    assert f"entry {head.seq} is not the last one of the backup {place.name}" in said
    with pytest.raises(LogbookError, match="is not the last one of the backup"):
        back_up(home, tmp_path / "backups", visit.at(99))
