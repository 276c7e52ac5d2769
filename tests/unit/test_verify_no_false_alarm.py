"""What `logbook verify` must not call tampering: the bot at work beside it, a backup looked at or
put back, a power cut, and what a computer leaves in a folder by itself.
"""

from datetime import timedelta

import pytest
import small_visit as visit
from tampered_home import SENT, home, name, unguarded, verify

from doorround.domain.entries import Entry, EntryKind
from doorround.logbook import file_checks, row_digests, verification
from doorround.logbook.backup import back_up
from doorround.logbook.chats import Chats
from doorround.logbook.opening import reading
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook

__all__ = ["home", "verify"]


@pytest.mark.parametrize("where", [(row_digests, "_rows_of"), (verification, "_one")])
def test_what_the_bot_writes_meanwhile_is_no_tampering(home, monkeypatch, where):
    module, reads = where
    real = getattr(module, reads)
    with Logbook.open(home / "logbook.db") as logbook, reading(home / "logbook.db") as seen:
        written = []

        def as_the_bot_writes(*given):
            now = visit.at(30) + timedelta(seconds=len(written))
            written.append(now)
            Chats(logbook).heard("telegram", now)
            said = Outgoing(text="Door 14 is due.")
            Outbox(logbook).put("telegram/1", f"more {now}", 1, said, now)
            logbook.note_alone("more", "Sam", now)
            return real(*given)

        monkeypatch.setattr(module, reads, as_the_bot_writes)
        assert seen.verify() == []
        assert written


def test_verify_ends_what_it_began(home):
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.verify()
        logbook.note_alone("more", "Sam", visit.at(95))
        assert logbook.verify() == []


def test_an_older_backup_is_not_held_against_newer_ones(verify, home, tmp_path, monkeypatch):
    target = tmp_path / "backups"
    older, _ = back_up(home, target, visit.at(90))
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("more", "Sam", visit.at(95))
    back_up(home, target, visit.at(100))
    monkeypatch.setenv("DOORROUND_BACKUPS", str(target))
    monkeypatch.setenv("DOORROUND_HOME", str(older))
    assert verify("--entries-only")[0] == 0


def test_an_older_backup_put_back_is_told_with_what_to_do(verify, home, tmp_path, monkeypatch):
    target = tmp_path / "backups"
    older, _ = back_up(home, target, visit.at(90))
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("more", "Sam", visit.at(95))
    newer, _ = back_up(home, target, visit.at(100))
    for path in home.glob("logbook.*"):
        path.unlink()
    for path in older.glob("logbook.*"):
        (home / path.name).write_bytes(path.read_bytes())
    monkeypatch.setenv("DOORROUND_BACKUPS", str(target))
    code, said = verify()
    assert code == 1 and f"the backup {newer.name}" in said
    assert "an older backup was put back" in said
    newer.rename(tmp_path / newer.name)
    assert verify()[0] == 0
    back_up(home, target, visit.at(110))


def test_what_a_computer_leaves_in_a_folder_is_no_tampering(verify, home):
    for left in ("Thumbs.db", "desktop.ini", ".DS_Store"):
        (home / "photos" / left).write_bytes(b"by itself")
    assert verify()[0] == 0


def test_a_recording_deleted_as_set_meanwhile_is_not_missing(verify, home, monkeypatch):
    real = file_checks._named_files

    def deleted_meanwhile(folders):
        with Logbook.open(home / "logbook.db") as logbook, logbook.writing():
            body = {"deleted": [name(SENT)], "days": 30}
            entry = Entry(
                kind=EntryKind.RECORDINGS_TIDIED, at=visit.at(95), person="doorround", body=body
            )
            logbook._enter([entry])
        (home / "recordings" / name(SENT)).unlink()
        return real(folders)

    monkeypatch.setattr(file_checks, "_named_files", deleted_meanwhile)
    assert verify()[0] == 0


def test_a_note_that_was_gone_is_called_gone_and_not_altered(verify, home):
    note = home / "logbook.noted"
    note.unlink()
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("more", "Sam", visit.at(95))
    code, said = verify()
    assert code == 1
    assert "logbook.noted, where the last entry is noted, was gone and was begun anew" in said
    assert "altered" not in said


def test_once_settled_an_emptied_note_begins_anew(verify, home):
    note = home / "logbook.noted"
    seq, hash, at = note.read_text().split()
    note.write_text(f"{int(seq) + 1:>18} {hash} {at}\n")
    assert verify()[0] == 1
    note.write_bytes(b"")
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("the power went, the last entry was lost", "Sam", visit.at(95))
    assert verify()[0] == 0


def test_a_note_begun_without_its_mark_gets_it_at_the_next_start(verify, home):
    unguarded(home, "DELETE FROM row_digests WHERE of = 'logbook.noted'")
    Logbook.open(home / "logbook.db").close()
    (home / "logbook.noted").unlink()
    code, said = verify()
    assert code == 1 and "is gone" in said
