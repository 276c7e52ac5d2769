"""Messages received from a messenger: stored before being acknowledged, processed once."""

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
    """One stored update. id: ours, in order of arrival. channel: name of the messenger it came
    from. update_id: the messenger's own id. chat: "" if there is none. body: the update, parsed
    from JSON.

    tries: how often a process started on it and died before finishing.
    """

    id: int
    channel: str
    update_id: str
    chat: str
    received: datetime
    body: Any
    tries: int = 0

    @property
    def key(self) -> str:
        """Its id in the keys of its replies in the outbox, "telegram:153"."""
        return f"{self.channel}:{self.update_id}"


@dataclass(frozen=True)
class NewUpdate:
    """An update to store. update_id: the messenger's own id. chat: "" if there is none. body: as
    received. album: shared by photos sent together.
    """

    update_id: str
    chat: str
    body: Any
    album: str | None = None


class Inbox:
    """The table `inbox`. channel: restricts it to one messenger; None for all.

    Calls made inside Logbook.writing() share its transaction.
    """

    def __init__(self, logbook: Logbook, channel: str | None = None) -> None:
        self._logbook = logbook
        self._channel = channel

    def store(self, updates: Iterable[NewUpdate], now: datetime) -> list[tuple[int, str]]:
        """Store updates of this inbox's channel, committed on return.

        Returns id and chat of the new ones, in order, without duplicates. Raises ValueError for an
        inbox of all channels.
        """
        if self._channel is None:
            raise ValueError("an update comes from one channel: give the inbox its name")
        conn = self._logbook._db.conn
        new = []
        with self._logbook.writing():
            for each in updates:
                body = self._as_json(each.body)
                row = (self._channel, each.update_id, each.chat, stamp(now), body, each.album)
                done = conn.execute(
                    "INSERT OR IGNORE INTO inbox (channel, update_id, chat, received, body, album)"
                    " VALUES (?, ?, ?, ?, ?, ?)",
                    row,
                )
                if done.rowcount:
                    new.append((int(done.lastrowid or 0), each.chat))
        return new

    def _as_json(self, body: Any) -> str:
        """As JSON that SQLite can parse too; anything that cannot be is stored as a quotation of
        its beginning.
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
        """Id and chat of unprocessed updates, in order."""
        rows = self._logbook._db.conn.execute(
            "SELECT id, chat FROM inbox WHERE outcome IS NULL"
            " AND channel = coalesce(?, channel) ORDER BY id",
            (self._channel,),
        )
        return [(int(id), str(chat)) for id, chat in rows]

    def open(self, id: int) -> Arrived | None:
        """An unprocessed update; None once processed."""
        row = self._logbook._db.conn.execute(
            "SELECT channel, update_id, chat, received, body, tries FROM inbox"
            " WHERE id = ? AND outcome IS NULL",
            (id,),
        ).fetchone()
        if row is None:
            return None
        channel, update_id, chat, received, body, tries = row
        at = datetime.fromisoformat(received)
        return Arrived(id, channel, update_id, chat, at, json.loads(body), tries)

    def tried(self) -> list[int]:
        """Ids of updates begun by a process that died, in order: one of them may have killed it."""
        rows = self._logbook._db.conn.execute(
            "SELECT id FROM inbox WHERE outcome IS NULL AND tries > 0"
            " AND channel = coalesce(?, channel) ORDER BY id",
            (self._channel,),
        )
        return [int(id) for (id,) in rows]

    def begin(self, id: int) -> None:
        """Increment the try count, committed on return, so that the next process knows whatever
        happens.
        """
        self._count(id, 1)

    def broken_off(self, id: int) -> None:
        """Decrement the try count: the update did not kill the process."""
        self._count(id, -1)

    def _count(self, id: int, more: int) -> None:
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET tries = tries + ? WHERE id = ?", (more, id)
            )

    def more_of_album(self, id: int, album: str) -> bool:
        """Whether an unprocessed update of the same album follows."""
        sql = """SELECT 1 FROM inbox WHERE outcome IS NULL AND id > ?
            AND album = ? AND channel = coalesce(?, channel) LIMIT 1"""
        given = (id, album, self._channel)
        return self._logbook._db.conn.execute(sql, given).fetchone() is not None

    def done(self, id: int, outcome: str) -> None:
        """Mark an update as processed. outcome: in a few words."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET outcome = ? WHERE id = ?", (outcome, id)
            )

    def forget(self, id: int) -> None:
        """Delete an update's content, keeping only its id for detecting duplicates."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}', album = NULL WHERE id = ?", (id,)
            )

    def forget_chat(self, chat: str) -> None:
        """The same for all updates of a chat."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}', album = NULL WHERE chat = ?", (chat,)
            )

    def sweep(self) -> None:
        """Checkpoint the write-ahead log so that deleted data is gone; outside a transaction, and
        not while others write.
        """
        with in_plain_words(self._logbook.path):
            self._logbook._db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)")

    def tidy(self, before: datetime) -> None:
        """Delete processed updates received before that time."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM inbox WHERE outcome IS NOT NULL AND received < ?", (stamp(before),)
            )
