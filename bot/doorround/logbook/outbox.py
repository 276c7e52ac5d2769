"""What goes out to a messenger: written in the transaction that gave rise to it, sent later,
marked.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from doorround.domain.address import Address
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.paging import first_page
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

_COLUMNS = "id, channel, chat, turn, body, state, tries, message_id, written, key"
_OPEN = "state IN ('waiting', 'sending')"


@dataclass(frozen=True)
class OutboundMessage:
    """One outgoing message. channel: name of the messenger that it goes out by. turn: how often the
    talk had moved on when it was written.

    state: waiting, sending (handed over, arrival unknown), sent or dropped. message_id: the
    messenger's own, once sent.
    written: UTC. key: what it was put under.
    """

    id: int
    channel: str
    chat: str
    turn: int
    body: Outgoing
    state: str
    tries: int
    message_id: str | None
    written: datetime
    key: str


class Outbox:
    """The table `outbox`. channel: what is sent by that messenger alone; None for all of them.

    Calls made inside Logbook.writing() share its transaction.
    """

    def __init__(self, logbook: Logbook, channel: str | None = None) -> None:
        self._logbook = logbook
        self._channel = channel

    def put(self, chat: str, key: str, turn: int, body: Outgoing, now: datetime) -> bool:
        """Write a message; it goes out by the channel of its chat, whoever writes it. One whose key
        was written before changes nothing and returns False. Raises ValueError for no address. One
        that is longer than a screen is cut into pages.
        """
        body = first_page(body)
        channel = Address.read(chat).channel
        with self._logbook.writing():
            done = self._logbook._db.conn.execute(
                "INSERT OR IGNORE INTO outbox (channel, chat, key, turn, body, written)"
                " VALUES (?, ?, ?, ?, ?, ?)",
                (channel, chat, key, turn, json.dumps(body.as_body()), stamp(now)),
            )
            return done.rowcount > 0

    def next_per_chat(self, but: Iterable[int] = ()) -> list[OutboundMessage]:
        """Of every chat the oldest message that is not sent. but: numbers of messages that wait,
        and keep nobody waiting.
        """
        held = ", ".join(map(str, but))
        return self._letters(
            f"WHERE id IN (SELECT min(id) FROM outbox WHERE {_OPEN} AND id NOT IN ({held})"
            " AND channel = coalesce(?, channel) GROUP BY chat) ORDER BY id",
            self._channel,
        )

    def deferrable(self, chat: str | None = None) -> list[OutboundMessage]:
        """Reminders that are not sent yet. chat: only of that one."""
        return self._letters(
            f"WHERE {_OPEN} AND coalesce(json_extract(body, '$.reminder'),"
            " json_extract(body, '$.calm')) IS NOT NULL"
            " AND chat = coalesce(?, chat) AND channel = coalesce(?, channel) ORDER BY id",
            chat,
            self._channel,
        )

    def outbound(self, id: int) -> OutboundMessage | None:
        """A message by its number; None where there is none, or no longer."""
        found = self._letters("WHERE id = ?", id)
        return found[0] if found else None

    def by_key(self, key: str) -> OutboundMessage | None:
        """The message that was written under this key; None where none was, or no longer."""
        found = self._letters("WHERE key = ?", key)
        return found[0] if found else None

    def by_message(self, chat: str, message_id: str) -> OutboundMessage | None:
        """What was sent last as that message of the messenger's; None for a message that is none of
        ours.
        """
        found = self._letters(
            "WHERE chat = ? AND message_id = ? ORDER BY id DESC LIMIT 1", chat, message_id
        )
        return found[0] if found else None

    def of_album(self, chat: str, album: str) -> OutboundMessage | None:
        """The message that told last of an album's photos; None where none did."""
        found = self._letters(
            "WHERE chat = ? AND json_extract(body, '$.album') = ? ORDER BY id DESC LIMIT 1",
            chat,
            album,
        )
        return found[0] if found else None

    def last(self, chat: str) -> OutboundMessage | None:
        """The message of a chat that was written last."""
        found = self._letters("WHERE chat = ? ORDER BY id DESC LIMIT 1", chat)
        return found[0] if found else None

    def of_turn(self, chat: str, turn: int) -> list[OutboundMessage]:
        """What was written to a chat in one turn of its talk, in order."""
        return self._letters("WHERE chat = ? AND turn = ? ORDER BY id", chat, turn)

    def all(self, chat: str) -> list[OutboundMessage]:
        """Every message of a chat, in order."""
        return self._letters("WHERE chat = ? ORDER BY id", chat)

    def sending(self, *ids: int) -> frozenset[int]:
        """Note that messages are being handed over: from now on they may have arrived. Returns
        which; not those given up since.
        """
        sql = f"UPDATE outbox SET state = 'sending', tries = tries + 1 WHERE id = ? AND {_OPEN}"
        with self._logbook.writing():
            return frozenset(
                id for id in ids if self._logbook._db.conn.execute(sql, (id,)).rowcount
            )

    def wait(self, id: int) -> None:
        """Note that a message certainly did not arrive."""
        self._set(id, "state = 'waiting'")

    def sent(self, messages: Mapping[int, str | None]) -> None:
        """Note that messages arrived, each with the messenger's id of it."""
        with self._logbook.writing():
            self._logbook._db.conn.executemany(
                "UPDATE outbox SET state = 'sent', message_id = ? WHERE id = ?",
                [(message_id, id) for id, message_id in messages.items()],
            )
            self._forget_over()

    def drop(self, id: int, why: str) -> None:
        """Give a message up."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE outbox SET state = 'dropped', why = ? WHERE id = ?", (why, id)
            )
            self._forget_over()

    def drop_all(self, chat: str, why: str) -> None:
        """Give up every message of a chat that is not sent."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                f"UPDATE outbox SET state = 'dropped', why = ? WHERE chat = ? AND {_OPEN}",
                (why, chat),
            )
            self._forget_over()

    def forget_chat(self, chat: str) -> None:
        """Keep nothing of what was written to a chat; what is not sent yet goes once it is."""
        with self._logbook.writing():
            conn = self._logbook._db.conn
            conn.execute(
                "UPDATE outbox SET body = json_set(body, '$.forget', json('true')) WHERE chat = ?",
                (chat,),
            )
            self._forget_over()

    def _forget_over(self) -> None:
        self._logbook._db.conn.execute(
            f"DELETE FROM outbox WHERE json_extract(body, '$.forget') AND NOT ({_OPEN})"
        )

    def tidy(self, before: datetime) -> None:
        """Forget what was sent or dropped and written before that time."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                f"DELETE FROM outbox WHERE NOT {_OPEN} AND written < ?", (stamp(before),)
            )

    def _set(self, id: int, change: str) -> None:
        with self._logbook.writing():
            self._logbook._db.conn.execute(f"UPDATE outbox SET {change} WHERE id = ?", (id,))

    def _letters(self, where: str, *given: Any) -> list[OutboundMessage]:
        rows = self._logbook._db.conn.execute(f"SELECT {_COLUMNS} FROM outbox {where}", given)
        return [
            OutboundMessage(
                id,
                channel,
                chat,
                turn,
                Outgoing.from_body(json.loads(body)),
                state,
                tries,
                message_id,
                datetime.fromisoformat(written),
                key,
            )
            for id, channel, chat, turn, body, state, tries, message_id, written, key in rows
        ]
