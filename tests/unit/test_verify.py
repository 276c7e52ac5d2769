"""doorround logbook verify, run as an auditor runs it: on the right file, on a copy, against what
was noted.
"""

import hashlib
import os
import shutil
import tempfile
from pathlib import Path

import pytest
import small_visit as visit
from typer.testing import CliRunner

from doorround.cli.app import app
from doorround.domain.defects import DeedKind
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.judging.severity import Targets
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.errors import LogbookError
from doorround.logbook.opening import reading
from doorround.logbook.store import Logbook

SOUND = b"a recording"
PHOTO = b"a photo"
PAPER = b"an invoice"


def name(content):
    return hashlib.sha256(content).hexdigest()


@pytest.fixture
def home(tmp_path):
    """A signed check with a recording, a photo and a defect made good with a file of evidence."""
    home = tmp_path / "home"
    for folder, file, content in (
        ("recordings", name(SOUND), SOUND),
        ("photos", f"{name(PHOTO)}.jpg", PHOTO),
        ("evidence", name(PAPER), PAPER),
    ):
        (home / folder).mkdir(parents=True)
        (home / folder / file).write_bytes(content)
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.add_person("Sam", "caretaker", visit.at(-4))
        logbook.add_door(visit.door(), "Mona", visit.at(-5))
        turn = visit.start(visit.door())
        logbook.begin("chat", turn)
        turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
        logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, 2))
        note = {"text": "wood I think", "audio_sha256": name(SOUND)}
        more = {"photo_sha256": name(PHOTO), "album": None, "of": None}
        with logbook.writing():
            logbook._enter(
                [
                    Entry(kind=EntryKind.NOTED, at=visit.at(3), person="Sam", body=note),
                    Entry(kind=EntryKind.PHOTOGRAPHED, at=visit.at(3), person="Sam", body=more),
                ]
            )
        [defect] = read_defects(logbook, Targets()).open
        act(
            logbook,
            defect,
            DeedKind.MADE_GOOD,
            "Sam",
            visit.at(9),
            "seals replaced",
            evidence=name(PAPER),
        )
    return home


@pytest.fixture
def verify(home, monkeypatch):
    """The command; exit code and all that it prints. of: another home."""
    monkeypatch.delenv("DOORROUND_SETTINGS", raising=False)

    def run(*words, of=home, command=("logbook", "verify")):
        monkeypatch.setenv("DOORROUND_HOME", str(of))
        done = CliRunner().invoke(app, [*command, *words])
        return done.exit_code, done.output

    return run


def test_a_single_entry_is_counted_as_one(verify, tmp_path):
    (tmp_path / "one").mkdir(mode=0o700)
    with Logbook.open(tmp_path / "one" / "logbook.db") as logbook:
        logbook.note_alone("first", "Sam", visit.at(0))
    code, said = verify(of=tmp_path / "one")
    assert code == 0 and said.startswith("1 entry, unbroken.")


def test_a_whole_logbook_gives_a_line_that_it_takes_later(verify, home):
    code, said = verify()
    assert code == 0 and "entries, unbroken. Note this elsewhere: " in said
    line = said.partition("elsewhere: ")[2].strip()
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("later", "Sam", visit.at(99))
    code, said = verify(*line.split())
    assert code == 0 and f"Entry {line.split()[0]} is as it was noted." in said
    assert verify(line)[0] == 0
    code, said = verify(line[:-1] + ("0" if line[-1] != "0" else "1"))
    assert code == 1 and "is not the one whose hash was noted" in said
    assert verify("9" * 18, "0" * 64)[0] == 1
    code, said = verify("12 abc")
    assert code == 2 and "is not a noted line" in said


@pytest.mark.parametrize(
    "command",
    [
        ("logbook", "verify"),
        ("logbook", "show"),
        ("logbook", "questions"),
        ("logbook", "clip", "1"),
        ("due",),
        ("summary",),
        ("intervals",),
        ("defects", "list"),
        ("logbook", "clock"),
        ("reminders", "--dry-run"),
    ],
)
def test_a_mistyped_home_is_refused_and_not_made(verify, tmp_path, command):
    code, said = verify(of=tmp_path / "hoem", command=command)
    assert code == 2 and "There is no logbook at" in said and "none was made" in said
    assert not (tmp_path / "hoem").exists()


def test_an_empty_or_foreign_file_is_no_logbook_and_stays_as_it_is(verify, tmp_path):
    for content in (b"", b"no database at all, but a letter of some length"):
        (tmp_path / "logbook.db").write_bytes(content)
        code, said = verify(of=tmp_path)
        assert code == 2 and "logbook" in said and (tmp_path / "logbook.db").read_bytes() == content


@pytest.mark.parametrize(
    ("folder", "file", "what"),
    [
        ("recordings", name(SOUND), "recording"),
        ("photos", f"{name(PHOTO)}.jpg", "photo"),
        ("evidence", name(PAPER), "evidence"),
    ],
)
def test_a_file_swapped_or_gone_is_named_with_its_entry(verify, home, folder, file, what):
    (home / folder / file).write_bytes(b"another")
    code, said = verify()
    assert (
        code == 1 and f"the {what} {file[:12]}… of entry " in said and "not as it was kept" in said
    )
    (home / folder / file).unlink()
    code, said = verify()
    assert code == 1 and f"the {what} {file[:12]}… of entry " in said and "is missing" in said
    assert verify("--entries-only")[0] == 0


def test_a_recording_that_no_entry_names_is_held_against_its_name_too(verify, home):
    (home / "recordings" / name(b"x")).write_bytes(b"x")
    assert verify()[0] == 0
    (home / "recordings" / name(b"x")).write_bytes(b"y")
    assert verify()[0] == 1


def test_what_was_deleted_as_set_is_not_missing(verify, home):
    with Logbook.open(home / "logbook.db") as logbook, logbook.writing():
        for kind, hash in (
            (EntryKind.RECORDINGS_TIDIED, name(SOUND)),
            (EntryKind.PHOTOS_TIDIED, name(PHOTO)),
        ):
            body = {"deleted": [hash], "days": 90}
            logbook._enter([Entry(kind=kind, at=visit.at(99), person="doorround", body=body)])
    (home / "recordings" / name(SOUND)).unlink()
    (home / "photos" / f"{name(PHOTO)}.jpg").unlink()
    assert verify()[0] == 0


def test_damage_that_only_sqlite_sees_is_told(verify, home):
    with Logbook.open(home / "logbook.db") as logbook:
        [(page,)] = logbook._rows(
            "SELECT rootpage FROM sqlite_master WHERE name = 'entries_of_signatures'"
        )
        [(size,)] = logbook._rows("PRAGMA page_size")
        logbook._db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with (home / "logbook.db").open("r+b") as file:
        file.seek((page - 1) * size + 3)
        file.write(b"\x00\x00")  # an index that says it is empty
    code, said = verify()
    assert code == 1 and "the file is damaged" in said


def test_a_copy_that_cannot_be_written_is_read(home):
    """As somebody who may not write the folder; root may write anything, so a child takes another
    user's rights.
    """
    folder = Path(tempfile.mkdtemp())
    try:
        shutil.copyfile(home / "logbook.db", folder / "logbook.db")
        (folder / "logbook.db").chmod(0o444)
        folder.chmod(0o555)
        child = os.fork()
        if child == 0:
            code = 9
            try:
                if os.geteuid() == 0:
                    os.setuid(65534)
                with reading(folder / "logbook.db") as logbook:
                    code = 0 if logbook.verify() == [] and logbook.head().count > 5 else 1
            finally:
                os._exit(code)
        assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) == 0
        assert [path.name for path in folder.iterdir()] == ["logbook.db"]
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


def test_what_is_not_in_the_file_yet_is_read_beside_a_running_bot(home):
    with Logbook.open(home / "logbook.db") as logbook:
        logbook.note_alone("in the write-ahead log only", "Sam", visit.at(99))
        with reading(home / "logbook.db") as seen:
            assert seen.head() == logbook.head() and seen.verify() == []


def test_a_logbook_of_an_earlier_version_is_read_and_left_as_it_is(home):
    with Logbook.open(home / "logbook.db") as logbook:
        logbook._db.conn.execute(
            "DELETE FROM _sqlite_migrations WHERE name = 'who_has_questions_read'"
        )
        logbook._db.conn.execute("DELETE FROM row_digests WHERE of = '_sqlite_migrations'")
        logbook._db.conn.execute("DROP INDEX entries_of_reading")
        logbook._db.conn.execute("DROP VIEW reading")
    before = (home / "logbook.db").read_bytes()
    with reading(home / "logbook.db") as seen:
        assert seen.verify() == []
    assert (home / "logbook.db").read_bytes() == before
    with pytest.raises(LogbookError, match="There is no logbook"), reading(home / "nothing.db"):
        pass
