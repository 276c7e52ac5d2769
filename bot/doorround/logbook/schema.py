"""Tables, triggers and views of the logbook's database, as migrations.

Entries and checklists only grow: triggers refuse every UPDATE and DELETE, and every INSERT that
does not take the next number and the last hash. Current state (doors, people, checks, answers,
findings) is a view over entries, so it cannot drift. `talks` and `door_search` (the state of each
talk, at a door and before one) and `processed_messages` are plain tables, as are `strangers` and
`joining` (people before they are known) and `inbox`, `outbox`, `chats`, `channels` and
`message_effects` of the messengers. `visits` and `door_status` are the due list's projections,
maintained by triggers; `row_digests` a digest of each row that no entry proves. Migrations are
append-only: never edit an existing one, never rebuild `entries`.
"""

from __future__ import annotations

import sqlite3
from importlib import resources
from pathlib import Path

from sqlite_utils import Database, Migrations

from doorround.logbook.errors import LogbookError, NewerLogbookError
from doorround.logbook.row_digests import (
    DIGESTED,
    digest_migrations,
    digest_rows,
    give_digests,
)

# "DOOR": distinguishes a logbook from any other SQLite file
APPLICATION_ID = 0x444F4F52
# STRICT tables came with 3.37, JSON without a build option with 3.38
OLDEST_SQLITE = (3, 38, 0)

migrations = Migrations("logbook")


def _run(db: Database, name: str) -> None:
    """Run an SQL file inside the open transaction; executescript would commit it first."""
    statement = ""
    for line in (
        resources.files("doorround.logbook")
        .joinpath("sql", name)
        .read_text()
        .splitlines(keepends=True)
    ):
        statement += line
        if sqlite3.complete_statement(statement):
            db.conn.execute(statement)
            statement = ""


@migrations()
def entries_and_talks(db: Database) -> None:
    """Tables, their indexes and the triggers that guard them."""
    _run(db, "tables.sql")
    _run(db, "triggers.sql")


@migrations()
def views_of_entries(db: Database) -> None:
    """Doors, people, checks, answers, findings, notes."""
    _run(db, "views.sql")


@migrations()
def talks_without_a_door(db: Database) -> None:
    """State of a talk while the bot asks which door."""
    _run(db, "seeking.sql")


@migrations()
def people_and_groups(db: Database) -> None:
    """Invites, roles, accounts and groups, all views over entries; strangers and people about to
    join as plain rows.
    """
    _run(db, "people.sql")
    _run(db, "people_triggers.sql")


@migrations()
def inbox_and_outbox(db: Database) -> None:
    """A messenger's inbox and outbox."""
    _run(db, "post.sql")


@migrations()
def photos_and_amended_notes(db: Database) -> None:
    """Photos by subject; amended notes."""
    _run(db, "photos.sql")


@migrations()
def menus_of_chats(db: Database) -> None:
    """The command menu last sent to each chat."""
    db.conn.execute("ALTER TABLE chats ADD COLUMN menu TEXT")


@migrations()
def what_messages_gave(db: Database) -> None:
    """Effects of each messenger message, for replies and edits."""
    _run(db, "gave.sql")


@migrations()
def due_lists(db: Database) -> None:
    """The due list's projections, beside the entries."""
    _run(db, "due.sql")
    _run(db, "due_triggers.sql")


@migrations()
def defects_followed(db: Database) -> None:
    """Indexes and views to follow a defect from its finding until it is made good."""
    _run(db, "defects.sql")


@migrations()
def reminders_entered(db: Database) -> None:
    """Indexes for nudges sent and absences."""
    _run(db, "reminded.sql")


@migrations()
def due_from_an_index(db: Database) -> None:
    """An index for doors never checked too; the partial one was not used inside an OR."""
    db.conn.execute("DROP INDEX standing_unchecked")
    db.conn.execute("CREATE INDEX standing_by_check ON standing (checked)")


@migrations()
def who_has_questions_read(db: Database) -> None:
    """Read-aloud preferences."""
    _run(db, "reading.sql")


@migrations()
def defects_keep_their_numbers(db: Database) -> None:
    """Findings since corrected keep their numbers; repairs are looked at, wrong closures
    withdrawn.
    """
    _run(db, "defect_numbers.sql")


@migrations()
def clock_in_doubt(db: Database) -> None:
    """Checks signed while the clock is in doubt do not change due dates."""
    _run(db, "clock.sql")
    _run(db, "clock_triggers.sql")


@migrations()
def tries_of_updates(db: Database) -> None:
    """How often processing of an update began without finishing."""
    db.conn.execute("ALTER TABLE inbox ADD COLUMN tries INTEGER NOT NULL DEFAULT 0")


@migrations()
def what_people_sent(db: Database) -> None:
    """The sender of each recording, named in an entry or not; messages to be forgotten."""
    _run(db, "sent.sql")


@migrations()
def doors_moved_and_retired(db: Database) -> None:
    """Doors keep their history under a new number or in another place; checks made before
    doorround.
    """
    _run(db, "door_names.sql")
    _run(db, "door_name_triggers.sql")


@migrations()
def post_by_channel(db: Database) -> None:
    """Inbox, outbox and message effects for several channels in one logbook."""
    _run(db, "channels.sql")


@migrations()
def plain_names(db: Database) -> None:
    """Tables renamed after their contents."""
    _run(db, "plain_names.sql")


@migrations()
def the_past_as_it_was(db: Database) -> None:
    """Late arrivals do not change later events; planned first checks; logged settings."""
    _run(db, "as_of.sql")
    _run(db, "as_of_triggers.sql")


@migrations()
def door_status_and_visits(db: Database) -> None:
    """The due list's tables renamed after their contents."""
    _run(db, "door_status.sql")
    _run(db, "door_status_triggers.sql")


@migrations()
def short_looks(db: Database) -> None:
    """Short visits that look at a repair are not checks."""
    _run(db, "looks.sql")


@migrations()
def indexes_of_summaries(db: Database) -> None:
    """Indexes so that a summary reads only entries of the kinds it needs."""
    _run(db, "summary_indexes.sql")


@migrations()
def rows_digested(db: Database) -> None:
    """A digest beside each row of the tables outside the chain."""
    _run(db, "row_digests.sql")
    give_digests(db.conn)
    for table in DIGESTED:
        digest_rows(db, table)


def migrate(db: Database, path: Path) -> None:
    """Migrate a database, all in one transaction. Does nothing if it is up to date.

    The date beside each migration is sqlite-utils' own: when the file was created, not when checks
    were made. Raises LogbookError for a database that is not a logbook, NewerLogbookError for one
    from a later version.
    """
    # one snapshot: between two reads, another opener may turn an empty file into a logbook
    with db.atomic():
        _refuse_foreign(db, path)
        if not migrations.pending(db):
            return
    db.conn.execute("BEGIN IMMEDIATE")
    try:
        # again, with the write lock held: another opener may have been faster
        _refuse_foreign(db, path)
        migrations.apply(db)
        digest_migrations(db.conn)
        db.conn.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        db.conn.execute("COMMIT")
    except sqlite3.OperationalError as error:
        db.rollback()
        if "already exists" in str(error):
            raise LogbookError(
                f"{path} says that it is of an earlier version and holds parts of a later one: its"
                f" list of migrations was changed ({error}). Keep a copy of it as it is, and put"
                " the last good backup in its place."
            ) from error
        raise
    except BaseException:
        db.rollback()
        raise


def is_behind(db: Database, path: Path) -> bool:
    """Whether a logbook is of an earlier version.

    Raises as migrate() does, and LogbookError for a file without any.
    """
    _refuse_foreign(db, path)
    if db.conn.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise LogbookError(f"{path} holds no logbook. It was left as it is; give another path.")
    return bool(migrations.pending(db))


def _refuse_foreign(db: Database, path: Path) -> None:
    ours = db.conn.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
    if not ours and db.conn.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]:
        raise LogbookError(
            f"{path} is an SQLite database but no logbook. It was left as it is; give another path."
        )
    known = {migration.name for migration in migrations._migrations}
    unknown = [done.name for done in migrations.applied(db) if done.name not in known]
    if unknown:
        raise NewerLogbookError(
            f"{path} was written by a later version of doorround ({', '.join(unknown)}). "
            "It was left as it is; install that version or a later one."
        )
