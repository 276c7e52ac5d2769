"""What each message of a caretaker's gave, so that it can be replied to and changed."""

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
    photos: their hashes.
    waits: what it said was read back, and waits for a yes.
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
        """With what a turn entered. answered: keys of the questions that the turn answered; the
        answers to others it only judged anew.
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
        """What a message gave; None for one that is not known, or that was forgotten."""
        sql = (
            "SELECT check_id, answers, notes, photos, waits FROM message_effects"
            " WHERE chat = ? AND message_id = ?"
        )
        for check, answers, notes, photos, waits in self._logbook._rows(sql, chat, message_id):
            answers, notes, photos = (tuple(json.loads(each)) for each in (answers, notes, photos))
            return MessageEffect(check, answers, notes, photos, bool(waits))
        return None

    def put(self, chat: str, message_id: str, effect: MessageEffect, now: datetime) -> None:
        """Note what a message gave, in place of what was noted of it before."""
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
        """The message of a chat whose words wait for a yes: the one first noted last."""
        sql = (
            "SELECT message_id FROM message_effects WHERE chat = ? AND waits"
            " ORDER BY seq DESC LIMIT 1"
        )
        rows = self._logbook._rows(sql, chat)
        return str(rows[0][0]) if rows else None

    def waits_no_more(self, chat: str) -> None:
        """Note that nothing waits for a yes in a chat."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "UPDATE message_effects SET waits = 0 WHERE chat = ? AND waits", (chat,)
            )

    def tidy(self, before: datetime) -> None:
        """Forget what was noted before that time."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM message_effects WHERE at < ?", (stamp(before),)
            )
