"""A messenger's chats: the person each belongs to, the turn count of its talk, whether it is
reachable.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from doorround.domain.address import is_of
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp


class Chats:
    """The tables `chats` and `channels`.

    A chat is named by its channel and the messenger's id, "telegram/4711".
    """

    def __init__(self, logbook: Logbook) -> None:
        self.logbook = logbook

    def person(self, chat: str) -> str | None:
        """Whose chat this is; None if unknown."""
        row = self._row("SELECT person FROM chats WHERE chat = ?", chat)
        return str(row[0]) if row and row[0] is not None else None

    def belong(self, chat: str, person: str | None) -> None:
        """Set whose chat this is; None: nobody's any longer."""
        self._set(chat, "person", person)

    def of_people(self, channel: str | None = None) -> list[tuple[str, str]]:
        """Every reachable chat of a known person, with the person.

        channel: only those of that messenger.
        """
        rows = self.logbook._db.conn.execute(
            "SELECT chat, person FROM chats WHERE person IS NOT NULL AND unreachable IS NULL ORDER"
            " BY chat"
        )
        return [
            (str(chat), str(person))
            for chat, person in rows
            if channel is None or is_of(channel, chat)
        ]

    def forget(self, chat: str) -> None:
        """Delete everything about a chat that belongs to nobody."""
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "DELETE FROM chats WHERE chat = ? AND person IS NULL", (chat,)
            )

    def turn(self, chat: str) -> int:
        """Turn count of this chat's talk."""
        row = self._row("SELECT turns FROM chats WHERE chat = ?", chat)
        return int(row[0]) if row else 0

    def move_on(self, chat: str) -> int:
        """Increment this chat's turn count. Returns the new count."""
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "INSERT INTO chats (chat, turns) VALUES (?, 1) ON CONFLICT (chat) DO UPDATE SET"
                " turns = turns + 1",
                (chat,),
            )
            return self.turn(chat)

    def menus(self, channel: str) -> dict[str, str]:
        """The command menu last sent to each chat of a channel, if any."""
        rows = self.logbook._db.conn.execute("SELECT chat, menu FROM chats WHERE menu IS NOT NULL")
        return {str(chat): str(menu) for chat, menu in rows if is_of(channel, chat)}

    def give_menu(self, chat: str, menu: str | None) -> None:
        """Record the command menu sent to a chat; None: it may have lost it."""
        self._set(chat, "menu", menu)

    def unreachable(self, chat: str, why: str | None) -> None:
        """Mark a chat as unreachable; None: reachable again."""
        if why is not None or self._row(
            "SELECT 1 FROM chats WHERE chat = ? AND unreachable IS NOT NULL", chat
        ):
            self._set(chat, "unreachable", why)

    def moved(self, chat: str, to: str) -> None:
        """Record that the messenger migrated a chat to a new id.

        It keeps its name here; anything recorded under the new id is discarded.
        """
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "UPDATE chats SET moved_to = NULL WHERE moved_to = ?", (to,)
            )
            self._set(chat, "moved_to", to)

    def name(self, chat: str) -> str:
        """Our name for the chat with the messenger's id: its name before any migration."""
        row = self._row("SELECT chat FROM chats WHERE moved_to = ?", chat)
        return str(row[0]) if row else chat

    def address(self, chat: str) -> str:
        """The messenger's current id of a chat."""
        row = self._row("SELECT moved_to FROM chats WHERE chat = ?", chat)
        return str(row[0]) if row and row[0] is not None else chat

    def last_heard(self, channel: str) -> datetime | None:
        """When this channel last had contact with its messenger. UTC."""
        row = self._row("SELECT heard FROM channels WHERE channel = ?", channel)
        return datetime.fromisoformat(str(row[0])) if row else None

    def heard(self, channel: str, now: datetime) -> None:
        """Record contact between this channel and its messenger."""
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "INSERT INTO channels (channel, heard) VALUES (?, ?) ON CONFLICT DO UPDATE SET"
                " heard = excluded.heard",
                (channel, stamp(now)),
            )

    def _set(self, chat: str, column: str, value: str | None) -> None:
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                f"INSERT INTO chats (chat, {column}) VALUES (?, ?) "
                f"ON CONFLICT (chat) DO UPDATE SET {column} = excluded.{column}",
                (chat, value),
            )

    def _row(self, sql: str, *given: str) -> tuple[Any, ...] | None:
        row: tuple[Any, ...] | None = self.logbook._db.conn.execute(sql, given).fetchone()
        return row
