"""Changes made behind the logbook's back, by somebody who drops the guards and puts them back: what
`logbook verify` says of them, outside the chain of entries too.
"""

import shutil
import sqlite3
from contextlib import closing
from datetime import timedelta

import pytest
import small_visit as visit
from sqlite_utils import Database
from tampered_home import PHOTO, SENT, home, name, unguarded, verify

from doorround.logbook.outbox import Outbox
from doorround.logbook.row_digests import DIGESTED
from doorround.logbook.schema import migrations
from doorround.logbook.store import Logbook

__all__ = ["home", "verify"]


def other(value, kind):
    if value is None:
        return 7 if kind == "INTEGER" else "2026-01-01T00:00:00.000000Z"
    if isinstance(value, int):
        return 1 - value if value in (0, 1) else value + 1
    if value.startswith(("{", "[")):
        return value + " "
    if len(value) == 64:
        return ("0" if value[0] != "0" else "1") + value[1:]
    return "sent" if value == "waiting" else value + "x"


def columns():
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as conn:
        migrations.apply(Database(conn, execute_plugins=False))
        return [
            (table, column, kind)
            for table in DIGESTED
            for _, column, kind, *_ in conn.execute(f"PRAGMA table_info({table})")
        ]


def test_a_whole_home_is_told_as_whole(verify):
    assert verify()[0] == 0


@pytest.mark.parametrize(("table", "column", "kind"), columns())
def test_any_column_of_any_table_outside_the_chain_changed_is_told(
    verify, home, table, column, kind
):
    def change(conn):
        [(row, value)] = conn.execute(
            f"SELECT {key(conn, table)}, {column} FROM {table} LIMIT 1"
        ).fetchall()
        done = conn.execute(
            f"UPDATE {table} SET {column} = ? WHERE {key(conn, table)} = ?",
            (other(value, kind), row),
        )
        assert done.rowcount >= 1

    unguarded(home, change)
    code, said = verify()
    assert code == 1
    assert f'in the table "{table}" a row was changed or added from outside' in said or (
        table == "checklists" and "the checklist" in said
    )


def key(conn, table):
    return next(row[1] for row in conn.execute(f"PRAGMA table_info({table})") if row[5] == 1)


@pytest.mark.parametrize("table", DIGESTED)
def test_a_row_taken_out_of_any_table_is_told(verify, home, table):
    unguarded(home, f"DELETE FROM {table}")
    code, said = verify()
    assert code == 1 and f'from the table "{table}" ' in said
    assert "not deleted by the logbook" in said


def test_a_message_put_into_the_outbox_from_outside_is_told(verify, home):
    unguarded(
        home,
        "INSERT INTO outbox (channel, chat, key, turn, body, written) VALUES"
        " ('telegram', 'telegram/1', 'forged', 9, '{}', '2026-03-02')",
    )
    code, said = verify()
    assert code == 1 and 'in the table "outbox" a row was changed or added from outside: 2' in said


def test_a_program_that_keeps_no_digests_is_refused(home):
    with closing(sqlite3.connect(home / "logbook.db")) as conn:
        for sql in ("UPDATE outbox SET turn = 2", "DELETE FROM talks", "DELETE FROM inbox"):
            with pytest.raises(sqlite3.OperationalError, match="no such function: row_digest"):
                conn.execute(sql)


def test_what_the_bot_writes_afterwards_does_not_hide_a_changed_row(verify, home):
    unguarded(home, "UPDATE outbox SET body = replace(body, 'out of', 'in')")
    with Logbook.open(home / "logbook.db") as logbook:
        Outbox(logbook).sent({1: "77"})
    code, said = verify()
    assert code == 1 and 'from the table "outbox" a row is gone' in said
    with Logbook.open(home / "logbook.db") as logbook:
        Outbox(logbook).tidy(visit.at(20) + timedelta(days=99))
    assert verify()[0] == 1


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ("DELETE FROM sqlite_sequence WHERE name = 'entries'", '"entries" was altered'),
        ("UPDATE sqlite_sequence SET seq = 1 WHERE name = 'entries'", '"entries" was set back'),
        ("UPDATE sqlite_sequence SET seq = 0 WHERE name = 'outbox'", '"outbox" was set back'),
        ("INSERT INTO sqlite_sequence VALUES ('entries', 99)", "are missing"),
        ("INSERT INTO sqlite_sequence VALUES ('entries', 2)", '"entries" was altered'),
        ("INSERT INTO sqlite_sequence VALUES ('more', 2)", "no table of ours: more"),
        ("CREATE TABLE more (a)", 'the table "more" was added'),
        ("CREATE VIEW more AS SELECT 1", 'the view "more" was added'),
        ("CREATE INDEX more ON entries (at)", 'the index "more" was added'),
    ],
)
def test_counts_and_parts_that_are_none_of_ours_are_told(verify, home, change, told):
    unguarded(home, change)
    code, said = verify()
    assert code == 1 and told in said


@pytest.mark.parametrize("put", ["'person  joined'", "'person \"joined'", "'person\njoined'"])
def test_a_view_that_looks_for_another_word_is_told(verify, home, put):
    with closing(sqlite3.connect(home / "logbook.db", isolation_level=None)) as conn:
        conn.execute("PRAGMA writable_schema = ON")
        sql = "UPDATE sqlite_master SET sql = replace(sql, ?, ?) WHERE name = 'accounts'"
        assert conn.execute(sql, ("'person joined'", put)).rowcount == 1
    code, said = verify()
    assert code == 1 and 'the view "accounts" is gone or altered' in said


def test_files_that_are_links_or_none_of_ours_are_told(verify, home):
    photo = home / "photos" / f"{name(PHOTO)}.jpg"
    shutil.move(photo, home / "elsewhere.jpg")
    photo.symlink_to(home / "elsewhere.jpg")
    code, said = verify()
    assert code == 1 and f"the photo {name(PHOTO)[:12]}… of entry " in said and "is a link" in said
    photo.unlink()
    shutil.move(home / "elsewhere.jpg", photo)
    assert verify()[0] == 0
    for stray in ("holiday.jpg", name(PHOTO).upper() + ".jpg", f"{name(PHOTO)}.png"):
        (home / "photos" / stray).write_bytes(b"another")
        code, said = verify()
        assert code == 1 and "is none of the logbook's files" in said
        (home / "photos" / stray).unlink()


def test_what_a_power_cut_leaves_of_a_file_is_not_told(verify, home):
    (home / "recordings" / f"{name(b'half')}.part").write_bytes(b"ha")
    (home / "recordings" / name(b"whole, and not entered yet")).write_bytes(
        b"whole, and not entered yet"
    )
    assert verify()[0] == 0


def test_a_recording_that_was_sent_and_is_gone_is_told_though_no_entry_names_it(verify, home):
    (home / "recordings" / name(SENT)).unlink()
    code, said = verify()
    assert code == 1 and f"the recording {name(SENT)[:12]}… is missing" in said


def test_which_migrations_were_done_is_held_to_too(verify, home):
    unguarded(home, "UPDATE _sqlite_migrations SET applied_at = '2020-01-01' WHERE id = 3")
    code, said = verify()
    assert code == 1 and 'in the table "_sqlite_migrations" a row was changed' in said


def test_a_number_that_nobody_uses_is_told(verify, home):
    unguarded(home, "PRAGMA user_version = 7")
    code, said = verify()
    assert code == 1 and "user_version was set to 7" in said


def test_who_starts_to_work_is_told_and_the_listing_tells_too(verify, home):
    def changes(conn):
        for seq in range(2, 7):
            conn.execute("UPDATE entries SET person = 'Nobody' WHERE seq = ?", (seq,))

    unguarded(home, changes)
    for command in (("logbook", "show"), ("chat", "--person", "Sam")):
        said = verify(command=command)[1]
        assert "the logbook is not as it was kept: entry 2 is not as it was kept." in said
        assert said.count("the logbook is not as it was kept") == 3
        assert "There is more (5 in all). See: doorround logbook verify" in said


def test_digests_taken_away_with_what_they_prove_are_told(verify, home):
    unguarded(home, "DELETE FROM row_digests WHERE of = '_sqlite_migrations'")
    code, said = verify()
    assert code == 1 and 'in the table "_sqlite_migrations" a row was changed or added' in said


def test_a_migration_struck_off_the_list_is_told_in_plain_words(verify, home):
    unguarded(home, "DELETE FROM _sqlite_migrations WHERE name = 'rows_digested'")
    code, said = verify()
    assert code == 2 and "its list of migrations was changed" in said


def test_what_hangs_on_behind_the_end_of_the_file_is_told(verify, home):
    unguarded(home, "PRAGMA wal_checkpoint(TRUNCATE)")
    with (home / "logbook.db").open("ab") as file:
        file.write(b"x" * 5000)
    code, said = verify()
    assert code == 1 and "5000 bytes hang on behind the end of logbook.db" in said
