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
    """One update as it came. id: ours, in the order kept. channel: name of the messenger it came
    from. update_id: the messenger's own id of it. chat: "" where there is none. body: the update,
    read from JSON.

    tries: how often a program began to deal with it and was gone before it came to an end.
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
        """What its answers are written under in the outbox, "telegram:153"."""
        return f"{self.channel}:{self.update_id}"


@dataclass(frozen=True)
class NewUpdate:
    """An update to be kept. update_id: the messenger's own id of it. chat: "" where there is none.
    body: as it came. album: the same for photos sent together.
    """

    update_id: str
    chat: str
    body: Any
    album: str | None = None


class Inbox:
    """The table `inbox`. channel: what came from that messenger alone; None for all of them.

    Calls made inside Logbook.writing() share its transaction.
    """

    def __init__(self, logbook: Logbook, channel: str | None = None) -> None:
        self._logbook = logbook
        self._channel = channel

    def take_in(self, updates: Iterable[NewUpdate], now: datetime) -> list[tuple[int, str]]:
        """Keep updates of this inbox's channel, committed on return.

        Returns id and chat of the new ones, in order: not those kept before. Raises ValueError for
        an inbox of all channels.
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
            "SELECT id, chat FROM inbox WHERE outcome IS NULL"
            " AND channel = coalesce(?, channel) ORDER BY id",
            (self._channel,),
        )
        return [(int(id), str(chat)) for id, chat in rows]

    def open(self, id: int) -> Arrived | None:
        """An update still to be dealt with; None once it was."""
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
        """Ids of what was begun by a program that is gone, in order: one of them may have ended
        it.
        """
        rows = self._logbook._db.conn.execute(
            "SELECT id FROM inbox WHERE outcome IS NULL AND tries > 0"
            " AND channel = coalesce(?, channel) ORDER BY id",
            (self._channel,),
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
            AND album = ? AND channel = coalesce(?, channel) LIMIT 1"""
        given = (id, album, self._channel)
        return self._logbook._db.conn.execute(sql, given).fetchone() is not None

    def done(self, id: int, outcome: str) -> None:
        """Mark an update as dealt with. outcome: what became of it, in a few words."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET outcome = ? WHERE id = ?", (outcome, id)
            )

    def forget(self, id: int) -> None:
        """Keep nothing of an update but its id, by which it is known when it comes again."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}', album = NULL WHERE id = ?", (id,)
            )

    def forget_chat(self, chat: str) -> None:
        """The same of all that came from a chat."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE inbox SET chat = '', body = '{}', album = NULL WHERE chat = ?", (chat,)
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
