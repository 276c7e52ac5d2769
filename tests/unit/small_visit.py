"""A visit small enough to write out: a checklist of four questions, and turns made by hand.

Stands in for the dialogue, so that the logbook is tested on values alone and on no checklist's
wording but this one's.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from sqlite_utils import Database

from doorround.dialogue.turn_result import Turn
from doorround.domain.answers import Answer
from doorround.domain.check import Check, Prompt, Stage
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.findings import Finding
from doorround.domain.input_result import By
from doorround.domain.judging.severity import Severity
from doorround.domain.values import Choice, Condition, Count, Defect, Value, YesNo
from doorround.logbook.row_digests import give_digests
from doorround.logbook.schema import APPLICATION_ID, migrations
from doorround.logbook.store import Logbook

MORNING = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)


def at(minute: float) -> datetime:
    """That many minutes past eight."""
    return MORNING + timedelta(minutes=minute)


def raw(path: Path, *statements: str, **given: Any) -> list[Any]:
    """Run SQL on the file with an SQLite connection that has what our triggers call, behind the
    logbook's back; rows of the last statement.
    """
    rows: list[Any] = []
    with closing(sqlite3.connect(path, isolation_level=None)) as conn:
        give_digests(conn)
        for sql in statements:
            rows = conn.execute(sql, given).fetchall()
    return rows


def older_file(path: Path, old: Path, stop_before: str) -> Path:
    """What a logbook holds, in a file of the layout from before that migration."""
    with closing(sqlite3.connect(old, isolation_level=None)) as conn:
        migrations.apply(Database(conn, execute_plugins=False), stop_before=stop_before)
        conn.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        conn.execute("ATTACH ? AS new", (str(path),))
        for table in ("checklists", "entries"):
            stored = conn.execute(f"SELECT * FROM pragma_table_info('{table}')").fetchall()
            names = ", ".join(column[1] for column in stored)
            conn.execute(f"INSERT INTO {table} ({names}) SELECT {names} FROM new.{table}")
    return old


def checklist(ask_seals: str = "How are the seals?") -> Checklist:
    def question(
        key: str, component: str, kind: str, ask: str, **more: object
    ) -> dict[str, object]:
        words = {"says": kind, "terse": ask, "help": "Look.", "example": "yes", "taps": ["yes"]}
        return {"key": key, "component": component, "kind": kind, "ask": ask, **words, **more}

    return Checklist.model_validate(
        {
            "key": "small",
            "title": "Small check",
            "caution": "Mind the door.",
            "component": [
                {"key": "glass", "name": "glass"},
                {"key": "hinges", "name": "hinges"},
                {"key": "seals", "name": "seals"},
                {"key": "closer", "name": "closer"},
            ],
            "question": [
                question("glass.kind", "glass", "choice", "Which glass?", fills="glazing"),
                question("hinges.count", "hinges", "count", "How many hinges?"),
                question("seals", "seals", "condition", ask_seals),
                question("closer.shuts", "closer", "yes_no", "Does it shut?", sound="yes"),
            ],
            "defect": [
                {
                    "component": "seals",
                    "name": "painted",
                    "words": "painted over",
                    "verdict": "defect",
                    "why": "A painted seal may not swell.",
                    "do_now": "Report it.",
                    "source": "common practice, no source",
                }
            ],
        }
    )


def door(number: str = "14", **fields: object) -> Door:
    return Door.model_validate(
        {"number": number, "site": "Alder House", "building": "East", "floor": "1", **fields}
    )


def start(
    of: Door,
    id: str = "c1",
    person: str = "Ines",
    minute: float = 0,
    wording: Checklist | None = None,
) -> Turn:
    check = Check(
        id=id, door=of, person=person, checklist=wording or checklist(), started=at(minute)
    )
    entry = _entry(check, EntryKind.CHECK_STARTED, minute, {"checklist": "small"})
    return Turn(check, (Prompt(text="Which glass?", question="glass.kind"),), (entry,))


def answer(
    check: Check,
    question: str,
    value: Value,
    minute: float,
    heard: str = "as said",
    p: float = 0.97,
) -> Turn:
    """The next answer to a question; it corrects the one in force there, if any."""
    nth = check.given.get(question, 0) + 1
    standing = check.answers.get(question)
    said = Answer(
        id=f"{question}#{nth}",
        question=question,
        component=question.split(".")[0],
        value=value,
        heard=heard,
        probability=p,
        by=By.VOICE,
        engine="small",
        at=at(minute),
        corrects=standing.id if standing else None,
    )
    enter = [_entry(check, EntryKind.ANSWERED, minute, said.model_dump(mode="json"))]
    for finding in _findings(said):
        body = {**finding.model_dump(mode="json"), "answer": said.id}
        enter.append(_entry(check, EntryKind.FOUND, minute, body))
    after = check.model_copy(
        update={
            "answers": {**check.answers, question: said},
            "given": {**check.given, question: nth},
        }
    )
    learnt = None
    if question == "glass.kind" and isinstance(value, Choice):
        learnt = Door.model_validate({**check.door.model_dump(), "glazing": value.chosen})
        after = after.model_copy(update={"door": learnt})
    return Turn(after, (Prompt(text=f"{question}: {heard}."),), tuple(enter), learnt)


def withdraw(check: Check, question: str, minute: float) -> Turn:
    left = {key: given for key, given in check.answers.items() if key != question}
    entry = _entry(check, EntryKind.WITHDRAWN, minute, {"answer": check.answers[question].id})
    return Turn(check.model_copy(update={"answers": left}), (Prompt(text="Taken back."),), (entry,))


def note(check: Check, text: str, minute: float) -> Turn:
    entry = _entry(check, EntryKind.NOTED, minute, {"text": text, "audio_sha256": None})
    return Turn(check, (Prompt(text="Noted."),), (entry,))


def ask_again(check: Check) -> Turn:
    return Turn(
        check.model_copy(update={"misses": check.misses + 1}),
        (Prompt(text="Say it again, please."),),
    )


def close(check: Check, minute: float, stage: Stage = Stage.SIGNED) -> Turn:
    kind = EntryKind.SIGNED if stage is Stage.SIGNED else EntryKind.CANCELLED
    body = {"verdict": "sound", "answers": len(check.answers), "skipped": ["closer.shuts"]}
    entry = _entry(check, kind, minute, body if kind is EntryKind.SIGNED else {})
    return Turn(check.model_copy(update={"stage": stage}), (Prompt(text="Done."),), (entry,))


def pause(check: Check, minute: float, stage: Stage = Stage.PAUSED) -> Turn:
    kind = EntryKind.PAUSED if stage is Stage.PAUSED else EntryKind.RESUMED
    return Turn(check.model_copy(update={"stage": stage}), (), (_entry(check, kind, minute, {}),))


SOUND = Condition()
PAINTED = Condition(defects=(Defect(name="painted", face="this side"),))
THREE = Count(number=3)
YES = YesNo(yes=True)
WIRED = Choice(chosen="wired")


def keep_check(
    logbook: Logbook, door: Door, id: str, minute: float, seals: Value, chat: str = "chat"
) -> None:
    """A check of the seals alone, from its first message to its signature in one minute."""
    turn = start(door, id=id, minute=minute)
    logbook.begin(chat, turn)
    turn = answer(turn.check, "seals", seals, minute)
    logbook.keep(chat, None, turn)
    logbook.keep(chat, None, close(turn.check, minute))


def logbook_of_six_entries(path: Path) -> Path:
    """A door, and a check of it with two answers and a note."""
    with Logbook.open(path) as logbook:
        logbook.add_door(door(), "Mona", at(-5))
        turn = start(door())
        logbook.begin("chat", turn)
        for minute, question, value in ((1, "hinges.count", THREE), (2, "seals", SOUND)):
            turn = answer(turn.check, question, value, minute)
            logbook.keep("chat", None, turn)
        logbook.keep("chat", None, note(turn.check, "draughty", 3))
        logbook.keep("chat", None, close(turn.check, 4))
    return path


def _findings(said: Answer) -> tuple[Finding, ...]:
    if said.value != PAINTED:
        return ()
    return (
        Finding(
            rule="seals.painted",
            question=said.question,
            component=said.component,
            severity=Severity.SOON,
            what="seals painted over",
            why="A painted seal may not swell.",
            do_now="Report it.",
            source="common practice, no source",
        ),
    )


def _entry(check: Check, kind: EntryKind, minute: float, body: dict[str, object]) -> Entry:
    return Entry(
        kind=kind,
        at=at(minute),
        person=check.person,
        door=check.door.number,
        check=check.id,
        body=body,
    )
