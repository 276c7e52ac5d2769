"""Checks that a logbook's tables, triggers and views are those its migrations created.

Every list is read through a view: an altered one can hide a defect without touching an entry. An
added trigger takes effect at the next entry.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from functools import lru_cache

from sqlite_utils import Database

from doorround.logbook.schema import migrations

_TEXT = re.compile(r"('(?:[^']|'')*')")
Schema = dict[str, tuple[str, str]]
"""Each object's type ("table", "index", "trigger", "view") and its statement, by name."""


def altered_parts(db: Database) -> Iterator[str]:
    """Schema objects missing, altered or added, one sentence each; by name, triggers first.

    SQLite's own statistics are ignored: they do not affect what is read.
    """
    wanted = _made_by(tuple(sorted(done.name for done in migrations.applied(db))))
    there = _schema(db)
    for name in sorted(wanted, key=lambda part: (wanted[part][0] != "trigger", part)):
        if there.get(name) != wanted[name]:
            yield f'the {_CALLED[wanted[name][0]]} "{name}" is gone or altered'
    for name in sorted(set(there) - set(wanted)):
        if not name.startswith("sqlite_stat"):
            yield f'the {there[name][0]} "{name}" was added: it is none of the logbook\'s'


_CALLED = {"trigger": "guard", "view": "view", "table": "table", "index": "index"}


@lru_cache(maxsize=4)
def _made_by(applied: tuple[str, ...]) -> Schema:
    """The schema after these migrations; a read-only copy may be behind the latest."""
    scratch = sqlite3.connect(":memory:")
    try:
        db = Database(scratch, execute_plugins=False)
        behind = [each.name for each in migrations.pending(db) if each.name not in applied]
        migrations.apply(db, stop_before=behind[0] if behind else None)
        return _schema(db)
    finally:
        scratch.close()


def _schema(db: Database) -> Schema:
    """Without quotes and line breaks, which vary between SQLite versions, except those in string
    literals.
    """
    found = db.conn.execute("SELECT name, type, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return {name: (type, _plain(sql)) for name, type, sql in found}


def _plain(sql: str) -> str:
    parts = _TEXT.split(sql)
    return "".join(
        part if place % 2 else re.sub(r"\s+", " ", part.replace('"', ""))
        for place, part in enumerate(parts)
    ).strip()
