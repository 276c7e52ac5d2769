"""The chats of a messenger: whose each is, how far its talk has moved on, whether it can be
reached.
"""

from __future__ import annotations

from datetime import datetime
from typing import Any

from doorround.domain.address import is_of
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp


class Chats:
    """The tables `chats` and `channels`.

    A chat is named by its channel and the messenger's number, "telegram/4711".
    """

    def __init__(self, logbook: Logbook) -> None:
        self.logbook = logbook

    def person(self, chat: str) -> str | None:
        """Whose chat this is; None while nobody is known there."""
        row = self._row("SELECT person FROM chats WHERE chat = ?", chat)
        return str(row[0]) if row and row[0] is not None else None

    def belong(self, chat: str, person: str | None) -> None:
        """Note whose chat this is; None: nobody's any more."""
        self._set(chat, "person", person)

    def of_people(self, channel: str | None = None) -> list[tuple[str, str]]:
        """Every chat whose person is known and that can be reached, with the person.

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
        """Keep nothing of a chat that is nobody's."""
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "DELETE FROM chats WHERE chat = ? AND person IS NULL", (chat,)
            )

    def turn(self, chat: str) -> int:
        """How often the talk of this chat has moved on."""
        row = self._row("SELECT turns FROM chats WHERE chat = ?", chat)
        return int(row[0]) if row else 0

    def move_on(self, chat: str) -> int:
        """Count one more turn of this chat's talk. Returns how many there are now."""
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "INSERT INTO chats (chat, turns) VALUES (?, 1) ON CONFLICT (chat) DO UPDATE SET"
                " turns = turns + 1",
                (chat,),
            )
            return self.turn(chat)

    def menus(self, channel: str) -> dict[str, str]:
        """Which command menu each chat of a channel was last given, where it was given one."""
        rows = self.logbook._db.conn.execute("SELECT chat, menu FROM chats WHERE menu IS NOT NULL")
        return {str(chat): str(menu) for chat, menu in rows if is_of(channel, chat)}

    def give_menu(self, chat: str, menu: str | None) -> None:
        """Note which command menu a chat is given; None: it may have lost it."""
        self._set(chat, "menu", menu)

    def unreachable(self, chat: str, why: str | None) -> None:
        """Note that nothing can be sent to a chat; None: it can again."""
        if why is not None or self._row(
            "SELECT 1 FROM chats WHERE chat = ? AND unreachable IS NOT NULL", chat
        ):
            self._set(chat, "unreachable", why)

    def moved(self, chat: str, to: str) -> None:
        """Note that the messenger moved a chat.

        It keeps its name here; what was noted there is given up.
        """
        with self.logbook.writing():
            self.logbook._db.conn.execute(
                "UPDATE chats SET moved_to = NULL WHERE moved_to = ?", (to,)
            )
            self._set(chat, "moved_to", to)

    def name(self, chat: str) -> str:
        """The name here of the chat that the messenger calls so: the name it had before it was
        moved.
        """
        row = self._row("SELECT chat FROM chats WHERE moved_to = ?", chat)
        return str(row[0]) if row else chat

    def address(self, chat: str) -> str:
        """What the messenger calls a chat now."""
        row = self._row("SELECT moved_to FROM chats WHERE chat = ?", chat)
        return str(row[0]) if row and row[0] is not None else chat

    def last_heard(self, channel: str) -> datetime | None:
        """When this channel last heard from its messenger. UTC."""
        row = self._row("SELECT heard FROM channels WHERE channel = ?", channel)
        return datetime.fromisoformat(str(row[0])) if row else None

    def heard(self, channel: str, now: datetime) -> None:
        """Note that this channel hears from its messenger."""
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
