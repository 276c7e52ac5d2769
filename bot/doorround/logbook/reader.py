"""Reads values from the logbook's tables and views."""

from __future__ import annotations

import itertools
import json
from collections.abc import Sequence
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from doorround.dialogue.door_search import DoorSearch
from doorround.domain.answers import Answer
from doorround.domain.check import Check, Prompt
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door, Side
from doorround.domain.people import Person
from doorround.logbook.chain import NO_HASH, ChainFault, Head
from doorround.logbook.connection import of_one_moment
from doorround.logbook.errors import LogbookError, UnknownCheckError, in_plain_words
from doorround.logbook.records import (
    AnswerRecord,
    CheckRecord,
    EventRecord,
    FindingRecord,
    read_answer,
    read_check,
    read_event,
    read_finding,
    read_person,
)
from doorround.logbook.register_reader import RegisterReader
from doorround.logbook.turn_events import stamp
from doorround.logbook.verification import against, faults

MAX_ENTRY = 2**63 - 1
"""The largest possible entry number; SQLite accepts none above."""

_ENTRY = "seq, at, zone, kind, door, check_id, person, body, before, hash"


class Reader(RegisterReader):
    """All read access. One connection, owned by the thread that opened it."""

    def entries(
        self,
        since: datetime | None = None,
        check: str | None = None,
        door: str | None = None,
        after: int = 0,
        limit: int | None = None,
        until: datetime | None = None,
        person: str | None = None,
    ) -> list[EventRecord]:
        """Entries by number that meet every given condition.

        since: at or after this time, UTC; until: before this one. door: its number, current or
        former. after: only higher numbers. limit: at most so many.
        """
        wanted: list[tuple[str, Any]] = [("seq > ?", min(after, MAX_ENTRY))]
        wanted += [("at >= ?", stamp(since))] if since else []
        wanted += [("check_id = ?", check)] if check is not None else []
        wanted += [("at < ?", stamp(until))] if until else []
        wanted += [("person = ?", person)] if person is not None else []
        wanted += [("door IN (SELECT value FROM json_each(?))", self._numbers(door))] * bool(door)
        where = " AND ".join(clause for clause, _ in wanted)
        sql = f"SELECT {_ENTRY} FROM entries WHERE {where} ORDER BY seq LIMIT ?"
        return [
            read_event(row)
            for row in self._rows(
                sql, *(value for _, value in wanted), -1 if limit is None else min(limit, MAX_ENTRY)
            )
        ]

    def _numbers(self, door: str | None) -> str:
        """Every number of the doors that have or had that one, as JSON."""
        sql = """SELECT DISTINCT n.number FROM door_names AS n
            WHERE n.id IN (SELECT id FROM door_names WHERE number = ?)"""
        return json.dumps([door, *(number for (number,) in self._rows(sql, door))])

    def last_seq(self) -> int:
        """Number of the last entry, 0 in an empty logbook."""
        return int(self._rows("SELECT coalesce(max(seq), 0) FROM entries")[0][0])

    def people(self) -> list[Person]:
        """Everybody ever known, as last entered, in order of joining; those who left are marked."""
        rows = self._rows("SELECT name, role, at, sites, gone FROM people ORDER BY at, seq")
        return [read_person(row) for row in rows]

    def checks(self, door: str | Door | None = None) -> list[CheckRecord]:
        """Checks by start. door: a number, or a Door if several sites use the same numbers."""
        where, given = _of_door(door)
        sql = f"""SELECT check_id, door, site, building, person, started, checklist, stage, closed,
            signature
            FROM checks WHERE {where} ORDER BY seq"""
        return [read_check(row) for row in self._rows(sql, *given)]

    def check(self, id: str) -> CheckRecord:
        """The check of that id. Raises UnknownCheckError."""
        sql = """SELECT check_id, door, site, building, person, started, checklist, stage, closed,
            signature
            FROM checks WHERE check_id = ?"""
        for row in self._rows(sql, id):
            return read_check(row)
        raise UnknownCheckError(f"There is no check {id} in {self.path}.")

    def last_check(self, door: Door) -> CheckRecord | None:
        """The signed check of a door that started last; None if there is none."""
        sql = (
            "SELECT check_id FROM last_checks WHERE number = ? AND site = ? AND building = ? AND"
            " check_id IS NOT NULL"
        )
        for (id,) in self._rows(sql, door.number, door.site, door.building):
            return self.check(id)
        return None

    def first_visit(self, door: str | Door) -> bool:
        """Whether no check of this door has been signed yet."""
        where, given = _of_door(door)
        return not self._rows(
            f"""SELECT 1 FROM checks WHERE stage = 'signed' AND {where}
            AND json_extract(signature, '$.look') IS NULL LIMIT 1""",
            *given,
        )

    def visits(self, person: str) -> int:
        """Number of checks signed by this person."""
        return int(
            self._rows("SELECT count(*) FROM entries WHERE kind = 'signed' AND person = ?", person)[
                0
            ][0]
        )

    def answers(self, check: str) -> list[Answer]:
        """Answers of a check that are in force, in the order given."""
        rows = self._rows("SELECT body FROM answers WHERE check_id = ? ORDER BY seq", check)
        return [Answer.model_validate_json(row[0]) for row in rows]

    def answers_given(self, *checks: str) -> list[AnswerRecord]:
        """Every answer of some checks, including corrected and withdrawn ones, in the
        order given.
        """
        marks = ", ".join("?" * len(checks))
        sql = f"""SELECT seq, check_id, person, body, corrected_by, withdrawn_by
            FROM answers_given WHERE check_id IN ({marks}) ORDER BY seq"""
        return [read_answer(row) for row in self._rows(sql, *checks)]

    def checklists_of(self, checks: Sequence[str]) -> dict[str, Checklist]:
        """The checklist of each of some checks, as from checklist_of(); none for one that never
        began.
        """
        marks = ", ".join("?" * len(checks))
        sql = f"""SELECT check_id, door, body FROM entries WHERE check_id IN ({marks})
            AND kind IN ('check started', 'door changed') ORDER BY seq"""
        hashes = dict[str, str]()
        doors = dict[str, Door]()
        for check, number, text in self._rows(sql, *checks):
            body = json.loads(text)
            hashes.setdefault(check, body.get("checklist_hash", ""))
            side = body.get("first_side") or body.get("door", {}).get("first_side")
            if side or check not in doors:
                doors[check] = Door(number=number, first_side=Side(side) if side else None)
        return {
            check: self.checklist(hash).facing(doors[check])
            for check, hash in hashes.items()
            if hash
        }

    def findings(self, check: str | None = None) -> list[FindingRecord]:
        """Findings on answers in force, of one check or of all, in the order found."""
        where = "true" if check is None else "check_id = ?"
        given = () if check is None else (check,)
        sql = (
            f"SELECT seq, at, check_id, door, answer, finding FROM findings WHERE {where} ORDER"
            " BY seq"
        )
        return [read_finding(row) for row in self._rows(sql, *given)]

    def checklist(self, hash: str) -> Checklist:
        """The checklist of that hash, in the wording asked at the time. Raises LogbookError."""
        if hash not in self._checklists:
            rows = self._rows("SELECT checklist FROM checklists WHERE hash = ?", hash)
            if not rows:
                raise LogbookError(
                    f"The checklist {hash[:12]}… is not in {self.path}. Put a good backup in its"
                    " place."
                )
            self._checklists[hash] = Checklist.model_validate_json(rows[0][0])
        return self._checklists[hash]

    def checklist_of(self, check: CheckRecord) -> Checklist:
        """The checklist of a check, with the names of the door's faces at the time. Raises
        LogbookError.
        """
        sides = [
            body.get("first_side") or body.get("door", {}).get("first_side")
            for (text,) in self._rows(
                "SELECT body FROM entries WHERE check_id = ? AND kind IN ('check started',"
                " 'door changed') ORDER BY seq",
                check.id,
            )
            if (body := json.loads(text))
        ]
        side = next((each for each in reversed(sides) if each), None)
        door = Door(number=check.door, first_side=side and Side(side))
        return self.checklist(check.checklist).facing(door)

    def position(self, talk: str) -> Check | None:
        """The state of a talk, with its checklist; also of a closed check, until the next one
        begins.

        None if no check has begun in the talk. Raises LogbookError for a state that this version
        cannot read.
        """
        for kept, checklist in self._rows(
            "SELECT position, checklist FROM talks WHERE talk = ?", talk
        ):
            try:
                check = Check.model_validate(
                    {**json.loads(kept), "checklist": self.checklist(checklist)}
                )
                return check.model_copy(update={"checklist": check.checklist.facing(check.door)})
            except ValidationError as error:
                raise LogbookError(
                    f'Where talk "{talk}" stood was kept by another version and cannot be read. '
                    "Its answers are in the logbook; begin the check again."
                ) from error
        return None

    def door_search(self, talk: str) -> DoorSearch | None:
        """The state of a door search; None if there is none, or if it is unreadable: the bot then
        asks which door, and nothing is lost.
        """
        for (stands,) in self._rows("SELECT stands FROM door_search WHERE talk = ?", talk):
            try:
                return DoorSearch.model_validate_json(stands)
            except ValidationError:
                return None
        return None

    def free_check_id(self, id: str) -> str:
        """An unused check id: the one wanted, or else with "-2", … appended. Two doors of one
        number may be begun in the same second.
        """
        tries = (id if place == 1 else f"{id}-{place}" for place in itertools.count(1))
        return next(
            each
            for each in tries
            if not self._rows("SELECT 1 FROM entries WHERE check_id = ? LIMIT 1", each)
        )

    def already(self, talk: str, incoming: str) -> tuple[Prompt, ...] | None:
        """The reply to an incoming message already processed; None for a new one."""
        rows = self._rows(
            "SELECT said FROM processed_messages WHERE talk = ? AND incoming = ?", talk, incoming
        )
        return (
            tuple(Prompt.model_validate(prompt) for prompt in json.loads(rows[0][0]))
            if rows
            else None
        )

    def head(self) -> Head:
        """Number and hash of the last entry, and the number of entries.

        Note it elsewhere; see chain.py for why.
        """
        seq, hash, count = self._rows(
            """SELECT coalesce(max(seq), 0), (SELECT hash FROM entries ORDER BY seq DESC
            LIMIT 1), count(*)
            FROM entries"""
        )[0]
        return Head(seq, hash or NO_HASH, count)

    def verify(self, noted: Head | None = None) -> list[ChainFault]:
        """Every discrepancy, the first broken entry first; empty if there are none.

        noted: a head noted earlier; its entry must still stand unchanged. Alone, this detects
        neither a rebuilt chain nor a truncation by somebody who also reset SQLite's autoincrement
        counter; see chain.py.
        """
        db = self._db
        with in_plain_words(self.path), of_one_moment(db.conn):
            return [*faults(db), *(against(db, noted) if noted else ())]


def _of_door(door: str | Door | None) -> tuple[str, tuple[str, ...]]:
    if door is None:
        return "true", ()
    if isinstance(door, Door):
        return "door = ? AND site = ? AND building = ?", (door.number, door.site, door.building)
    return "door = ?", (door,)
