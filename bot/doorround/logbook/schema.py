"""Tables, triggers and views of the logbook's database, as migrations.

Entries and checklists only grow: triggers refuse every UPDATE and DELETE, and every INSERT that
does not take the next number and the last hash. What is true now (doors, people, checks, answers,
findings) is a view over entries, so it cannot drift. `talks` and `door_search` (where each
conversation stands, at a door and before one) and `processed_messages` (what was already dealt
with) are plain tables, as are `strangers` and `joining` (people before they are known) and `inbox`,
`outbox`, `chats`, `channels` and `message_effects` of the messengers. `visits` and `door_status`
hold what the due list asks, kept beside the entries by triggers; `row_digests` a digest of each row
that no entry proves. A later migration adds; it never
edits one that stands here, nor rebuilds `entries`.
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

# "DOOR", so that a logbook can be told from any other SQLite file
APPLICATION_ID = 0x444F4F52
# STRICT tables came with 3.37, JSON without a build option with 3.38
OLDEST_SQLITE = (3, 38, 0)

migrations = Migrations("logbook")


def _run(db: Database, name: str) -> None:
    """Run a file of SQL inside the open transaction; executescript would commit it first."""
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
    """Where a talk stands while the bot asks which door."""
    _run(db, "seeking.sql")


@migrations()
def people_and_groups(db: Database) -> None:
    """Invites, roles, accounts and groups, all read from entries; strangers and those about to join
    as plain rows.
    """
    _run(db, "people.sql")
    _run(db, "people_triggers.sql")


@migrations()
def inbox_and_outbox(db: Database) -> None:
    """Messages of a messenger, on their way in and out."""
    _run(db, "post.sql")


@migrations()
def photos_and_amended_notes(db: Database) -> None:
    """Photos by what they show; notes that were amended."""
    _run(db, "photos.sql")


@migrations()
def menus_of_chats(db: Database) -> None:
    """Which command menu each chat was last given."""
    db.conn.execute("ALTER TABLE chats ADD COLUMN menu TEXT")


@migrations()
def what_messages_gave(db: Database) -> None:
    """What each message of a messenger gave, for replies and changes."""
    _run(db, "gave.sql")


@migrations()
def due_lists(db: Database) -> None:
    """What the due list asks, kept beside the entries."""
    _run(db, "due.sql")
    _run(db, "due_triggers.sql")


@migrations()
def defects_followed(db: Database) -> None:
    """Indexes and views to follow a defect from its finding until it is made good."""
    _run(db, "defects.sql")


@migrations()
def reminders_entered(db: Database) -> None:
    """Indexes to find what was said to whom, and who is away."""
    _run(db, "reminded.sql")


@migrations()
def due_from_an_index(db: Database) -> None:
    """Doors never checked are found by an index too; the partial one was no use inside an OR."""
    db.conn.execute("DROP INDEX standing_unchecked")
    db.conn.execute("CREATE INDEX standing_by_check ON standing (checked)")


@migrations()
def who_has_questions_read(db: Database) -> None:
    """Who wants questions read aloud."""
    _run(db, "reading.sql")


@migrations()
def defects_keep_their_numbers(db: Database) -> None:
    """What was found and corrected since keeps its number; a repair is looked at, a wrong close
    taken back.
    """
    _run(db, "defect_numbers.sql")


@migrations()
def clock_in_doubt(db: Database) -> None:
    """Checks signed while the clock is in doubt move no due date."""
    _run(db, "clock.sql")
    _run(db, "clock_triggers.sql")


@migrations()
def tries_of_updates(db: Database) -> None:
    """How often a program began to deal with an update and did not come to an end of it."""
    db.conn.execute("ALTER TABLE inbox ADD COLUMN tries INTEGER NOT NULL DEFAULT 0")


@migrations()
def what_people_sent(db: Database) -> None:
    """Whose each recording is, named in an entry or not; letters that are to be forgotten."""
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
    """Inbox, outbox and what messages gave, of several channels in one logbook."""
    _run(db, "channels.sql")


@migrations()
def plain_names(db: Database) -> None:
    """Tables by names that say what is in them."""
    _run(db, "plain_names.sql")


@migrations()
def the_past_as_it_was(db: Database) -> None:
    """What came late moves nothing that came before it; first checks planned; settings entered."""
    _run(db, "as_of.sql")
    _run(db, "as_of_triggers.sql")


@migrations()
def door_status_and_visits(db: Database) -> None:
    """What the due list asks, by names that say what is in it."""
    _run(db, "door_status.sql")
    _run(db, "door_status_triggers.sql")


@migrations()
def short_looks(db: Database) -> None:
    """Short visits that look at a repair are no checks."""
    _run(db, "looks.sql")


@migrations()
def indexes_of_summaries(db: Database) -> None:
    """A summary reads entries of the kinds that it tells of, and no others."""
    _run(db, "summary_indexes.sql")


@migrations()
def rows_digested(db: Database) -> None:
    """A digest beside each row of the tables outside the chain."""
    _run(db, "row_digests.sql")
    give_digests(db.conn)
    for table in DIGESTED:
        digest_rows(db, table)


def migrate(db: Database, path: Path) -> None:
    """Bring a database up to date, all of it in one transaction. Does nothing where nothing is due.

    The date beside each migration is sqlite-utils' own and says when the file was made, nothing
    about the checks. Raises LogbookError for a database that is no logbook, NewerLogbookError for
    one from a later version.
    """
    # one snapshot: between two reads another opener may turn an empty file into a logbook
    with db.atomic():
        _refuse_foreign(db, path)
        if not migrations.pending(db):
            return
    db.conn.execute("BEGIN IMMEDIATE")
    try:
        # again, now that nobody else can write: another opener may have been faster
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
