"""The Logbook: stores doors, people and turns. One transaction per turn."""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.door_search import SearchTurn
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.clock import DoubtedTime
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.plain_door import plain_door
from doorround.logbook.chain import canonical_json, text_digest
from doorround.logbook.clock import called_right, doubt_now
from doorround.logbook.entry_writer import EntryWriter
from doorround.logbook.errors import (
    DoorExistsError,
    LogbookError,
    PersonExistsError,
)
from doorround.logbook.turn_events import changed_fields, entries_of, stamp
from doorround.messages import receiving


class Logbook(EntryWriter):
    """The logbook of one site's doors.

    Append-only. Times given are aware, stored in UTC.
    """

    def add_door(self, door: Door, person: str, at: datetime) -> None:
        """Add a door to the register. Raises DoorExistsError if its site and building already have
        that number, in whatever spelling, and ValueError for a number or place with invisible
        characters.
        """
        with self.writing():
            door = plain_door(door)
            if there := self._doors_alike(door.number, door.site, door.building):
                self._refuse_retired(there[0])
                raise DoorExistsError(
                    f"Door {_name(there[0])} is in the register already. Change it: doorround doors"
                    " change. Or give another number."
                )
            body = door.model_dump(mode="json")
            self._enter(
                [
                    Entry(
                        kind=EntryKind.DOOR_ADDED, at=at, person=person, door=door.number, body=body
                    )
                ]
            )

    def change_door(self, door: Door, person: str, at: datetime, why: str = "") -> tuple[str, ...]:
        """Update a door's description, with a reason; returns the changed fields. Nothing is
        entered if nothing changed. Raises UnknownDoorError.

        Number, site and building identify the door; a different number is a different door.
        """
        with self.writing():
            changed = changed_fields(self.door(door.number, door.site, door.building), door)
            if not changed:
                return ()
            body = {"door": door.model_dump(mode="json"), "changed": list(changed)}
            body |= {"why": why} if why else {}
            self._enter(
                [
                    Entry(
                        kind=EntryKind.DOOR_CHANGED,
                        at=at,
                        person=person,
                        door=door.number,
                        body=body,
                    )
                ]
            )
            return changed

    def add_person(self, name: str, role: str, at: datetime) -> None:
        """Add a person. Raises PersonExistsError if the name is taken."""
        with self.writing():
            if any(known.name == name for known in self.people()):
                raise PersonExistsError(
                    f"{name} is known already. Give a name that tells the two apart."
                )
            body = {"name": name, "role": role}
            self._enter([Entry(kind=EntryKind.PERSON_ADDED, at=at, person=name, body=body)])

    def note_alone(
        self,
        text: str,
        person: str,
        at: datetime,
        door: str | None = None,
        audio_sha256: str | None = None,
    ) -> None:
        """Enter a note outside any check. door: number of the door it is about, where known.
        audio_sha256: hash of its recording.
        """
        with self.writing():
            self._enter(
                [
                    Entry(
                        kind=EntryKind.NOTED,
                        at=at,
                        person=person,
                        door=door,
                        body={"text": text, "audio_sha256": audio_sha256},
                    )
                ]
            )

    def begin(
        self, talk: str, turn: Turn, incoming: str | None = None, at: datetime | None = None
    ) -> tuple[Prompt, ...]:
        """Store the turn that starts a check, and its checklist. Returns what to say, as `keep`
        does.

        The turn's entries include a "check started", and the door is in the register. Raises
        LogbookError while the talk is in the middle of another check, UnknownDoorError for a door
        that is not in the register.
        """
        with self.writing():
            said = self._already(talk, incoming)
            if said is not None:
                return said
            if not any(entry.kind is EntryKind.CHECK_STARTED for entry in turn.enter):
                raise ValueError('a check begins with an entry "check started"')
            self._refuse_second(talk)
            self._db.conn.execute("DELETE FROM door_search WHERE talk = ?", (talk,))
            return self._keep(talk, incoming, turn, turn.check, at)

    def keep_search(
        self, talk: str, incoming: str | None, sought: SearchTurn, at: datetime
    ) -> tuple[Prompt, ...]:
        """Store one turn of a door search: its state and the reply. Returns what to say.

        Idempotent: a message already processed changes nothing and returns the original reply.
        Raises LogbookError while a check is open. at: UTC.
        """
        with self.writing():
            said = self._already(talk, incoming)
            if said is not None:
                return said
            self._refuse_second(talk)
            self._db.conn.execute(
                """INSERT INTO door_search (talk, stands, updated) VALUES (?, ?, ?)
                ON CONFLICT (talk) DO UPDATE
                SET stands = excluded.stands, updated = excluded.updated""",
                (talk, canonical_json(sought.search.model_dump(mode="json")), stamp(at)),
            )
            self._reply(talk, incoming, sought.say)
            return sought.say

    def keep(
        self, talk: str, incoming: str | None, turn: Turn, at: datetime | None = None
    ) -> tuple[Prompt, ...]:
        """Store one turn: entries, the state of the talk and the reply, in one transaction. Returns
        what to say.

        incoming: id of the message answered, None if the channel has none. Idempotent: a message
        already processed enters nothing and returns the original reply. at: UTC, for a turn without
        entries. Raises LogbookError if the turn is of another check than the talk.
        """
        with self.writing():
            said = self._already(talk, incoming)
            if said is not None:
                return said
            before = self.position(talk)
            if before is None or before.id != turn.check.id:
                stands = f"is at check {before.id}" if before else "has begun no check"
                raise LogbookError(
                    f'Talk "{talk}" {stands}, not {turn.check.id}. Begin that check first.'
                )
            return self._keep(talk, incoming, turn, before, at)

    def _already(self, talk: str, incoming: str | None) -> tuple[Prompt, ...] | None:
        return None if incoming is None else self.already(talk, incoming)

    def _refuse_second(self, talk: str) -> None:
        try:
            standing = self.position(talk)
        except LogbookError:
            # an unreadable state must not prevent anybody from checking a door
            return
        if standing is not None and not standing.closed:
            raise LogbookError(
                f'Talk "{talk}" is in the middle of check {standing.id} of door'
                f" {standing.door.number}. Finish it or cancel it first."
            )

    def _keep(
        self, talk: str, incoming: str | None, turn: Turn, before: Check, at: datetime | None
    ) -> tuple[Prompt, ...]:
        at = at or max((entry.at for entry in turn.enter), default=turn.check.started)
        wording = self._keep_checklist(turn.check.checklist)
        register = self.door_of_check(turn.check.id, before.door)
        doubt = doubt_now(self)
        self._enter(entries_of(turn, register, before.door, wording, at))
        say = (*turn.say, *self._of_clock(turn, doubt))
        self._stand(talk, turn.check, wording, at)
        self._reply(talk, incoming, say)
        return say

    def _of_clock(self, turn: Turn, before: DoubtedTime | None) -> tuple[Prompt, ...]:
        """Clock-doubt entries, if the doubt is new, and at a signature."""
        doubt = doubt_now(self)
        signed = any(entry.kind is EntryKind.SIGNED for entry in turn.enter)
        if doubt is None or (before is not None and not signed):
            return ()
        return (Prompt(text=receiving.clock_in_doubt(doubt.why, signed)),)

    def trust_clock(self, person: str, now: datetime) -> bool:
        """Enter that the clock is now right. now: its reading.

        False if it is not in doubt.
        """
        with self.writing():
            doubt = doubt_now(self)
            if doubt is not None:
                self._enter_as_they_are([called_right(doubt, person, now)])
            return doubt is not None

    def _reply(self, talk: str, incoming: str | None, say: tuple[Prompt, ...]) -> None:
        if incoming is not None:
            said = canonical_json([prompt.model_dump(mode="json") for prompt in say])
            sql = "INSERT INTO processed_messages (talk, incoming, said) VALUES (?, ?, ?)"
            self._db.conn.execute(sql, (talk, incoming, said))

    def _stand(self, talk: str, check: Check, wording: str, at: datetime) -> None:
        position = canonical_json(check.model_dump(mode="json"))
        self._db.conn.execute(
            """INSERT INTO talks (talk, position, checklist, door, updated) VALUES (?, ?, ?, ?, ?)
            ON CONFLICT (talk) DO UPDATE SET position = excluded.position,
            checklist = excluded.checklist,
                door = excluded.door, updated = excluded.updated""",
            (talk, position, wording, check.door.number, stamp(at)),
        )

    def _keep_checklist(self, checklist: Checklist) -> str:
        text = canonical_json(checklist.model_dump(mode="json"))
        hash = text_digest(text.encode())
        self._db.conn.execute(
            """INSERT INTO checklists (hash, checklist)
            SELECT ?1, ?2 WHERE NOT EXISTS (SELECT 1 FROM checklists WHERE hash = ?1)""",
            (hash, text),
        )
        return hash


def _name(door: Door) -> str:
    place = ", ".join(filter(None, (door.site, door.building)))
    return f"{door.number} ({place})" if place else door.number
