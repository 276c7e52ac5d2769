"""One connection to a logbook file, owned by the thread that opened it."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from doorround.domain.checklist import Checklist
from doorround.logbook.errors import OtherThreadError, in_plain_words


class Connection:
    """A connection. path: of the file. zone: IANA name of the site's time zone."""

    def __init__(self, db: Database, path: Path, zone: str) -> None:
        self._connection = db
        self._owner = threading.get_ident()
        self._checklists: dict[str, Checklist] = {}
        self.path = path
        self.zone = zone

    @property
    def _db(self) -> Database:
        if threading.get_ident() != self._owner:
            raise OtherThreadError(
                f"{self.path} is open in another thread. Open a Logbook of its own in this one."
            )
        return self._connection

    def _rows(self, sql: str, *given: Any) -> list[tuple[Any, ...]]:
        conn = self._db.conn
        with in_plain_words(self.path):
            return conn.execute(sql, given).fetchall()


@contextmanager
def of_one_moment(conn: sqlite3.Connection) -> Iterator[None]:
    """A consistent snapshot for all reads inside, whatever another program writes meanwhile."""
    if conn.in_transaction:
        yield
        return
    conn.execute("BEGIN")
    try:
        yield
    finally:
        if conn.in_transaction:
            conn.execute("ROLLBACK")
