"""The Logbook: what writes. One connection, owned by one thread; one transaction a turn."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from doorround.dialogue.door_search import SearchTurn
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.clock import Doubt
from doorround.domain.door import Door, plain_door
from doorround.domain.entries import Entry, EntryKind
from doorround.logbook.chain import NO_HASH, canonical_json, digest, text_digest
from doorround.logbook.clock import called_right, doubt_now, looked_at_clock
from doorround.logbook.errors import (
    DoorExistsError,
    LogbookError,
    PersonExistsError,
    in_plain_words,
)
from doorround.logbook.opening import connected, known_zone
from doorround.logbook.reader import Reader
from doorround.logbook.turn_events import changed_fields, entries_of, stamp


class Logbook(Reader):
    """The logbook of one site's doors.

    Entries are only ever added. Times given are aware, stored in UTC.
    """

    _clock: Callable[[], datetime] | None = None

    @classmethod
    def open(
        cls, path: str | Path, zone: str = "UTC", clock: Callable[[], datetime] | None = None
    ) -> Self:
        """Open a logbook, or begin one where no file is. Its folder must exist.

        zone: IANA name of the site's time zone, stored beside each time. clock: the computer's,
        UTC, against which times are held; None: they are not. Raises LogbookError that names the
        file and what to do: not a logbook, written by a later version, not writable, disk full.
        """
        path = Path(path)
        known_zone(zone)
        with in_plain_words(path):
            logbook = cls(connected(path), path, zone)
        logbook._clock = clock
        return logbook

    def close(self) -> None:
        """Close the file. What was kept stays kept."""
        self._db.close()

    def wait_for_others(self, seconds: float) -> None:
        """How long a writer waits for another; a service, which nothing may stop for long, tries
        again instead.
        """
        self._db.conn.execute(f"PRAGMA busy_timeout = {round(seconds * 1000)}")

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    @contextmanager
    def writing(self) -> Iterator[None]:
        """One transaction: all that is kept inside, or nothing.

        Inside another, the outer one decides.
        """
        db = self._db
        with in_plain_words(self.path):
            if db.conn.in_transaction:
                with db.atomic():
                    yield
                return
            # at once, not at the first write: two writers then wait in turn instead of one failing
            # halfway
            db.conn.execute("BEGIN IMMEDIATE")
            try:
                yield
                db.conn.execute("COMMIT")
            except BaseException:
                db.rollback()
                raise

    def add_door(self, door: Door, person: str, at: datetime) -> None:
        """Put a door into the register. Raises DoorExistsError where its site and building have
        that number already, however it is written, and ValueError for a number or a place with
        signs that cannot be seen.
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
        """Describe a door anew, and say why; the fields that differ. Nothing is entered where
        nothing does. Raises UnknownDoorError.

        Number, site and building say which door; one that gets another number is another door.
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
        """Make somebody known. Raises PersonExistsError for a name that is known already."""
        with self.writing():
            if any(known.name == name for known in self.people()):
                raise PersonExistsError(
                    f"{name} is known already. Give a name that tells the two apart."
                )
            body = {"name": name, "role": role}
            self._enter([Entry(kind=EntryKind.PERSON_ADDED, at=at, person=name, body=body)])

    def note_alone(self, text: str, person: str, at: datetime) -> None:
        """Enter a note that belongs to no check."""
        with self.writing():
            self._enter(
                [
                    Entry(
                        kind=EntryKind.NOTED,
                        at=at,
                        person=person,
                        body={"text": text, "audio_sha256": None},
                    )
                ]
            )

    def begin(
        self, talk: str, turn: Turn, incoming: str | None = None, at: datetime | None = None
    ) -> tuple[Prompt, ...]:
        """Keep the turn that starts a check, and its checklist. Returns what to say, as `keep`
        does.

        The turn's entries hold a "check started", and the door is in the register. Raises
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

    def seek(
        self, talk: str, incoming: str | None, sought: SearchTurn, at: datetime
    ) -> tuple[Prompt, ...]:
        """Keep one turn of a talk that looks for its door: where it stands and the reply. Returns
        what to say.

        A message dealt with already changes nothing and returns what was said then. Raises
        LogbookError while a check is open. at: UTC.
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
                (talk, canonical_json(sought.seeking.model_dump(mode="json")), stamp(at)),
            )
            self._reply(talk, incoming, sought.say)
            return sought.say

    def keep(
        self, talk: str, incoming: str | None, turn: Turn, at: datetime | None = None
    ) -> tuple[Prompt, ...]:
        """Keep one turn: entries, where the talk stands, and the reply, in one transaction. Returns
        what to say.

        incoming: id of the message answered, None where the channel has none. One that was dealt
        with already enters nothing and returns what was said then. at: UTC, for a turn without
        entries. Raises LogbookError where the turn is of another check than the talk.
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
            # an unreadable position must not keep anybody from checking a door
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

    def _of_clock(self, turn: Turn, before: Doubt | None) -> tuple[Prompt, ...]:
        """That the clock is in doubt, where that is new, and at a signature."""
        doubt = doubt_now(self)
        signed = any(entry.kind is EntryKind.SIGNED for entry in turn.enter)
        if doubt is None or (before is not None and not signed):
            return ()
        counts = "This check moves no due date" if signed else "No check moves a due date"
        return (
            Prompt(
                text=(
                    f"The clock is in doubt: {doubt.why}. {counts} until a supervisor has seen"
                    " to it."
                )
            ),
        )

    def trust_clock(self, person: str, now: datetime) -> bool:
        """Enter that the clock is right as it goes. now: what it says.

        False where it is not in doubt.
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

    def _enter(self, entries: Iterable[Entry]) -> None:
        """Number, chain and insert entries, inside the transaction; before them, that their time is
        in doubt.
        """
        entries = list(entries)
        clock = [] if self._clock is None else looked_at_clock(self, entries, self._clock())
        self._enter_as_they_are([*clock, *entries])

    def _enter_as_they_are(self, entries: Iterable[Entry]) -> None:
        conn = self._db.conn
        seq, before = self._last()
        for entry in entries:
            seq += 1
            fields = (seq, *self._plain(entry), before)
            hash = digest(fields)
            conn.execute(
                """INSERT INTO entries (seq, at, zone, kind, door, check_id, person, body, before,
                    hash)
                VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)""",
                (*fields, hash),
            )
            before = hash

    def _plain(self, entry: Entry) -> tuple[str | None, ...]:
        try:
            body = canonical_json(entry.body)
        except ValueError as error:
            raise ValueError(f'entry "{entry.kind}" of {entry.person} {error}') from error
        return (
            stamp(entry.at),
            self.zone,
            entry.kind.value,
            entry.door,
            entry.check,
            entry.person,
            body,
        )

    def _last(self) -> tuple[int, str]:
        """Highest number ever given out, and the hash of the last entry."""
        return self._rows(
            """SELECT max(coalesce((SELECT max(seq) FROM entries), 0),
                coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'entries'), 0)),
                coalesce((SELECT hash FROM entries WHERE seq = (SELECT max(seq)
                FROM entries)), ?)""",
            NO_HASH,
        )[0]


def _name(door: Door) -> str:
    place = ", ".join(filter(None, (door.site, door.building)))
    return f"{door.number} ({place})" if place else door.number
