"""What came in from a messenger: kept before it is acknowledged, dealt with once."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from doorround.logbook.errors import in_plain_words
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

MAX_QUOTED = 2000


@dataclass(frozen=True)
class Arrived:
    """One update as it came. id: the messenger's. chat: "" where there is none. body: the update,
    read from JSON.

    tries: how often a program began to deal with it and was gone before it came to an end.
    """

    id: int
    chat: str
    received: datetime
    body: Any
    tries: int = 0


class Inbox:
    """The table `inbox`. Calls made inside Logbook.writing() share its transaction."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook

    def take_in(
        self, updates: Iterable[tuple[int, str, Any]], now: datetime
    ) -> list[tuple[int, str]]:
        """Keep updates (id, chat, body), committed on return.

        Returns id and chat of the new ones, in order.
        """
        conn = self._logbook._db.conn
        new = []
        with self._logbook.writing():
            for id, chat, body in updates:
                row = (id, chat, stamp(now), self._as_json(body))
                done = conn.execute(
                    "INSERT OR IGNORE INTO inbox (id, chat, received, body) VALUES (?, ?, ?, ?)",
                    row,
                )
                if done.rowcount:
                    new.append((id, chat))
        return new

    def _as_json(self, body: Any) -> str:
        """As JSON that SQLite reads too; what cannot be put so is kept as a quotation of its
        beginning.
        """
        try:
            text = json.dumps(body, allow_nan=False, separators=(",", ":"))
            if self._logbook._db.conn.execute("SELECT json_valid(?)", (text,)).fetchone()[0]:
                return text
        except (ValueError, RecursionError, TypeError):
            pass
        try:
            quoted = repr(body)[:MAX_QUOTED]
        except RecursionError:
            quoted = "nested too deeply"
        return json.dumps({"unreadable": quoted})

    def waiting(self) -> list[tuple[int, str]]:
        """Id and chat of what is still to be dealt with, in order."""
        rows = self._logbook._db.conn.execute(
            "SELECT id, chat FROM inbox WHERE outcome IS NULL ORDER BY id"
        )
        return [(int(id), str(chat)) for id, chat in rows]

    def open(self, id: int) -> Arrived | None:
        """An update still to be dealt with; None once it was."""
        row = self._logbook._db.conn.execute(
            "SELECT chat, received, body, tries FROM inbox WHERE id = ? AND outcome IS NULL", (id,)
        ).fetchone()
        return (
            None
            if row is None
            else Arrived(id, row[0], datetime.fromisoformat(row[1]), json.loads(row[2]), row[3])
        )

    def tried(self) -> list[int]:
        """Ids of what was begun by a program that is gone, in order: one of them may have ended
        it.
        """
        rows = self._logbook._db.conn.execute(
            "SELECT id FROM inbox WHERE outcome IS NULL AND tries > 0 ORDER BY id"
        )
        return [int(id) for (id,) in rows]

    def begin(self, id: int) -> None:
        """Count a try, committed on return: whatever comes of it, the next program knows."""
        self._count(id, 1)

    def broken_off(self, id: int) -> None:
        """Take a try back: it was not the update that ended it."""
        self._count(id, -1)

    def _count(self, id: int, more: int) -> None:
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET tries = tries + ? WHERE id = ?", (more, id)
            )

    def more_of_album(self, id: int, album: str) -> bool:
        """Whether, after an update, more of the same album waits to be dealt with."""
        sql = """SELECT 1 FROM inbox WHERE outcome IS NULL AND id > ?
            AND json_extract(body, '$.message.media_group_id') = ? LIMIT 1"""
        return self._logbook._db.conn.execute(sql, (id, album)).fetchone() is not None

    def done(self, id: int, outcome: str) -> None:
        """Mark an update as dealt with. outcome: what became of it, in a few words."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET outcome = ? WHERE id = ?", (outcome, id)
            )

    def forget(self, id: int) -> None:
        """Keep nothing of an update but its number, by which it is known when it comes again."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}' WHERE id = ?", (id,)
            )

    def forget_chat(self, chat: str) -> None:
        """The same of all that came from a chat."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}' WHERE chat = ?", (chat,)
            )

    def sweep(self) -> None:
        """Have the write-ahead log give up what was forgotten; outside a transaction, and not while
        others write.
        """
        with in_plain_words(self._logbook.path):
            self._logbook._db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def tidy(self, before: datetime) -> None:
        """Forget what was dealt with and came before that time."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM inbox WHERE outcome IS NOT NULL AND received < ?", (stamp(before),)
            )
