"""Invented doors, checks and answers, to fill a large logbook with."""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

from doorround.domain.answers import Answer
from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.entries import Entry, EntryKind
from doorround.domain.input_result import By
from doorround.domain.values import Condition
from doorround.logbook.store import Logbook

START = datetime(2026, 1, 5, 8, 0, tzinfo=UTC)
ANSWERS = 28  # with its start and its signature a check makes 30 entries


def small_checklist() -> Checklist:
    part = {"key": "seals", "name": "seals"}
    words = {
        "ask": "?",
        "terse": "?",
        "help": "?",
        "example": "?",
        "says": "condition",
        "taps": ["fine"],
    }
    questions = [
        {"key": f"seals.q{chr(97 + n)}", "component": "seals", "kind": "condition", **words}
        for n in range(26)
    ]
    return Checklist.model_validate(
        {
            "key": "bench",
            "title": "t",
            "caution": "c",
            "component": [part],
            "question": questions,
            "defect": [],
        }
    )


def a_door(number: int) -> Door:
    return Door.model_validate(
        {
            "number": str(number),
            "site": f"site {number % 50}",
            "floor": str(number % 9),
            "rating": "FD30S",
            "hinges": 3,
        }
    )


def an_answer(nth: int, at: datetime) -> Answer:
    return Answer(
        id=f"seals.q#{nth}",
        question=f"seals.q{nth}",
        component="seals",
        value=Condition(),
        heard="fine",
        probability=0.97,
        by=By.VOICE,
        engine="bench",
        at=at,
    )


def visit(number: int, door: int, wording: str) -> Iterator[Entry]:
    at = START + timedelta(minutes=number)
    more = {"person": f"p{number % 40}", "door": str(door), "check": f"c{number}"}
    site = {"site": f"site {door % 50}", "building": ""}
    start = {"checklist": "bench", "checklist_hash": wording, **site}
    yield Entry(kind=EntryKind.CHECK_STARTED, at=at, body=start, **more)
    for nth in range(ANSWERS):
        yield Entry(
            kind=EntryKind.ANSWERED, at=at, body=an_answer(nth, at).model_dump(mode="json"), **more
        )
    yield Entry(
        kind=EntryKind.SIGNED,
        at=at,
        body={"verdict": "sound", "answers": ANSWERS, "skipped": []},
        **more,
    )


def build(logbook: Logbook, doors: int, entries: int, dice: random.Random) -> None:
    """Through the logbook's own insert, triggers and all, only in few transactions."""
    with logbook.writing():
        wording = logbook._keep_checklist(small_checklist())
        logbook._enter(
            Entry(
                kind=EntryKind.DOOR_ADDED,
                at=START,
                person="m",
                door=str(n),
                body=a_door(n).model_dump(mode="json"),
            )
            for n in range(doors)
        )
    checks = max(entries - doors, 0) // (ANSWERS + 2)
    for first in range(0, checks, 2000):
        with logbook.writing():
            for number in range(first, min(first + 2000, checks)):
                logbook._enter(visit(number, dice.randrange(doors), wording))
