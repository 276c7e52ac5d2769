"""Effects of each caretaker message, for replies to it and edits of it."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from doorround.domain.entries import EntryKind
from doorround.logbook.records import EventRecord
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp


@dataclass(frozen=True)
class MessageEffect:
    """check: id of the check it was sent in. answers: their ids. notes: numbers of their entries.
    photos: their hashes. waits: it was read back and awaits confirmation.
    """

    check: str | None
    answers: tuple[str, ...] = ()
    notes: tuple[int, ...] = ()
    photos: tuple[str, ...] = ()
    waits: bool = False

    @property
    def questions(self) -> tuple[str, ...]:
        """Keys of the questions that it answered."""
        return tuple(dict.fromkeys(id.rpartition("#")[0] for id in self.answers))

    def and_more(self, entries: Iterable[EventRecord], answered: Collection[str]) -> MessageEffect:
        """Merged with a turn's entries. answered: keys of the questions answered in the turn;
        answers to others were only judged again.
        """
        answers = list(self.answers)
        notes = list(self.notes)
        photos = list(self.photos)
        for entry in entries:
            if entry.kind is EntryKind.ANSWERED and entry.body["question"] in answered:
                answers.append(entry.body["id"])
            elif entry.kind is EntryKind.NOTED:
                notes.append(entry.seq)
            elif entry.kind is EntryKind.PHOTOGRAPHED:
                photos.append(entry.body["photo_sha256"])
        return replace(self, answers=tuple(answers), notes=tuple(notes), photos=tuple(photos))


class MessageEffects:
    """The table `message_effects`. Calls made inside Logbook.writing() share its transaction."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook

    def of(self, chat: str, message_id: str) -> MessageEffect | None:
        """A message's effects; None if unknown or forgotten."""
        sql = (
            "SELECT check_id, answers, notes, photos, waits FROM message_effects"
            " WHERE chat = ? AND message_id = ?"
        )
        for check, answers, notes, photos, waits in self._logbook._rows(sql, chat, message_id):
            answers, notes, photos = (tuple(json.loads(each)) for each in (answers, notes, photos))
            return MessageEffect(check, answers, notes, photos, bool(waits))
        return None

    def put(self, chat: str, message_id: str, effect: MessageEffect, now: datetime) -> None:
        """Store a message's effects, replacing any stored before."""
        row = (
            chat,
            message_id,
            effect.check,
            json.dumps(effect.answers),
            json.dumps(effect.notes),
            json.dumps(effect.photos),
            int(effect.waits),
            stamp(now),
        )
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                """INSERT INTO message_effects
                    (chat, message_id, check_id, answers, notes, photos, waits, at)
                VALUES (?, ?, ?, ?, ?, ?, ?, ?)
                ON CONFLICT (chat, message_id) DO UPDATE SET check_id = excluded.check_id,
                    answers = excluded.answers, notes = excluded.notes, photos = excluded.photos,
                    waits = excluded.waits, at = excluded.at""",
                row,
            )

    def waiting(self, chat: str) -> str | None:
        """The chat's message awaiting confirmation, the most recently first stored."""
        sql = (
            "SELECT message_id FROM message_effects WHERE chat = ? AND waits"
            " ORDER BY seq DESC LIMIT 1"
        )
        rows = self._logbook._rows(sql, chat)
        return str(rows[0][0]) if rows else None

    def clear_waiting(self, chat: str) -> None:
        """Mark that nothing in a chat awaits confirmation."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE message_effects SET waits = 0 WHERE chat = ? AND waits", (chat,)
            )

    def tidy(self, before: datetime) -> None:
        """Delete effects stored before that time."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM message_effects WHERE at < ?", (stamp(before),)
            )
