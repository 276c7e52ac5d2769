"""Writes to a logbook: one connection, owned by one thread; transactions; chained entries."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from types import TracebackType
from typing import Self

from doorround.domain.entries import Entry
from doorround.logbook.chain import NO_HASH, canonical_json, digest
from doorround.logbook.clock import looked_at_clock
from doorround.logbook.errors import in_plain_words
from doorround.logbook.noted_line import begin_note, note_last
from doorround.logbook.opening import connected, known_zone
from doorround.logbook.reader import Reader
from doorround.logbook.turn_events import stamp


class EntryWriter(Reader):
    """A logbook open for writing: append-only, each entry chained to the previous one."""

    _clock: Callable[[], datetime] | None = None
    _entered = False

    @classmethod
    def open(
        cls, path: str | Path, zone: str = "UTC", clock: Callable[[], datetime] | None = None
    ) -> Self:
        """Open a logbook, or create one if the file does not exist. Its folder must exist.

        zone: IANA name of the site's time zone, stored with each time. clock: the computer's, UTC,
        against which times are checked; None: no check. Raises LogbookError naming the file and
        what to do: not a logbook, written by a later version, not writable, disk full.
        """
        path = Path(path)
        known_zone(zone)
        with in_plain_words(path):
            logbook = cls(connected(path), path, zone)
        logbook._clock = clock
        begin_note(logbook)
        return logbook

    def close(self) -> None:
        """Close the file. Everything committed remains."""
        self._db.close()

    def wait_for_others(self, seconds: float) -> None:
        """Busy timeout for writers; a service, which must not block for long, retries instead."""
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
        """One transaction: everything inside is committed, or nothing.

        Nested calls join the outer one.
        """
        db = self._db
        with in_plain_words(self.path):
            if db.conn.in_transaction:
                with db.atomic():
                    yield
                return
            # BEGIN IMMEDIATE: two writers queue up instead of one failing halfway
            db.conn.execute("BEGIN IMMEDIATE")
            try:
                yield
                db.conn.execute("COMMIT")
            except BaseException:
                db.rollback()
                raise
        if self._entered:
            self._entered = False
            note_last(self)

    def _enter(self, entries: Iterable[Entry]) -> None:
        """Number, chain and insert entries in the current transaction, preceded by a clock-doubt
        entry if needed.
        """
        entries = list(entries)
        clock = [] if self._clock is None else looked_at_clock(self, entries, self._clock())
        self._enter_as_they_are([*clock, *entries])

    def _enter_as_they_are(self, entries: Iterable[Entry]) -> None:
        conn = self._db.conn
        self._entered = True
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
        """Highest number ever assigned, and the hash of the last entry."""
        return self._rows(
            """SELECT max(coalesce((SELECT max(seq) FROM entries), 0),
                coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'entries'), 0)),
                coalesce((SELECT hash FROM entries WHERE seq = (SELECT max(seq)
                FROM entries)), ?)""",
            NO_HASH,
        )[0]
