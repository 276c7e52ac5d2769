"""Messages to a messenger: written in the transaction that caused them, sent later,
marked as sent.
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
    """One outgoing message. channel: name of the messenger that sends it. turn: the talk's turn
    count when written.

    state: waiting, sending (handed over, arrival unknown), sent or dropped. message_id: the
    messenger's own, once sent. written: UTC. key: its idempotency key.
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
    """The table `outbox`. channel: restricts it to one messenger; None for all.

    Calls made inside Logbook.writing() share its transaction.
    """

    def __init__(self, logbook: Logbook, channel: str | None = None) -> None:
        self._logbook = logbook
        self._channel = channel

    def put(self, chat: str, key: str, turn: int, body: Outgoing, now: datetime) -> bool:
        """Enqueue a message; it is sent on the channel of its chat, whoever writes it. Idempotent:
        if the key exists, nothing changes and it returns False. Raises ValueError if the chat is
        not an address. A message longer than a screen is paged.
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
        """The oldest unsent message of each chat. but: numbers of waiting messages that do not hold
        up later ones.
        """
        held = ", ".join(map(str, but))
        return self._letters(
            f"WHERE id IN (SELECT min(id) FROM outbox WHERE {_OPEN} AND id NOT IN ({held})"
            " AND channel = coalesce(?, channel) GROUP BY chat) ORDER BY id",
            self._channel,
        )

    def deferrable(self, chat: str | None = None) -> list[OutboundMessage]:
        """Unsent reminders. chat: only of that one."""
        return self._letters(
            f"WHERE {_OPEN} AND coalesce(json_extract(body, '$.reminder'),"
            " json_extract(body, '$.calm')) IS NOT NULL"
            " AND chat = coalesce(?, chat) AND channel = coalesce(?, channel) ORDER BY id",
            chat,
            self._channel,
        )

    def outbound(self, id: int) -> OutboundMessage | None:
        """A message by its number; None if there is none, or no longer."""
        found = self._letters("WHERE id = ?", id)
        return found[0] if found else None

    def by_key(self, key: str) -> OutboundMessage | None:
        """The message written under this key; None if there is none, or no longer."""
        found = self._letters("WHERE key = ?", key)
        return found[0] if found else None

    def by_message(self, chat: str, message_id: str) -> OutboundMessage | None:
        """The latest content sent under the messenger's id; None if the message is not ours."""
        found = self._letters(
            "WHERE chat = ? AND message_id = ? ORDER BY id DESC LIMIT 1", chat, message_id
        )
        return found[0] if found else None

    def of_album(self, chat: str, album: str) -> OutboundMessage | None:
        """The last message about an album's photos; None if there is none."""
        found = self._letters(
            "WHERE chat = ? AND json_extract(body, '$.album') = ? ORDER BY id DESC LIMIT 1",
            chat,
            album,
        )
        return found[0] if found else None

    def last(self, chat: str) -> OutboundMessage | None:
        """The message last written to a chat."""
        found = self._letters("WHERE chat = ? ORDER BY id DESC LIMIT 1", chat)
        return found[0] if found else None

    def of_turn(self, chat: str, turn: int) -> list[OutboundMessage]:
        """Messages written to a chat in one turn of its talk, in order."""
        return self._letters("WHERE chat = ? AND turn = ? ORDER BY id", chat, turn)

    def all(self, chat: str) -> list[OutboundMessage]:
        """Every message of a chat, in order."""
        return self._letters("WHERE chat = ? ORDER BY id", chat)

    def sending(self, *ids: int) -> frozenset[int]:
        """Mark messages as being handed over: from now on they may have arrived. Returns which,
        without those dropped since.
        """
        sql = f"UPDATE outbox SET state = 'sending', tries = tries + 1 WHERE id = ? AND {_OPEN}"
        with self._logbook.writing():
            return frozenset(
                id for id in ids if self._logbook._db.conn.execute(sql, (id,)).rowcount
            )

    def wait(self, id: int) -> None:
        """Record that a message definitely did not arrive."""
        self._set(id, "state = 'waiting'")

    def sent(self, messages: Mapping[int, str | None]) -> None:
        """Record that messages arrived, each with the messenger's id."""
        with self._logbook.writing():
            self._logbook._db.conn.executemany(
                "UPDATE outbox SET state = 'sent', message_id = ? WHERE id = ?",
                [(message_id, id) for id, message_id in messages.items()],
            )
            self._forget_over()

    def drop(self, id: int, why: str) -> None:
        """Drop a message."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE outbox SET state = 'dropped', why = ? WHERE id = ?", (why, id)
            )
            self._forget_over()

    def drop_all(self, chat: str, why: str) -> None:
        """Drop every unsent message of a chat."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                f"UPDATE outbox SET state = 'dropped', why = ? WHERE chat = ? AND {_OPEN}",
                (why, chat),
            )
            self._forget_over()

    def forget_chat(self, chat: str) -> None:
        """Delete everything written to a chat; unsent messages are deleted once sent."""
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
        """Delete messages sent or dropped that were written before that time."""
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
