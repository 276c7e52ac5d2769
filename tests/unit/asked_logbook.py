"""What is asked of the logbook in a chat, for the tests of queries and orders."""

from __future__ import annotations

import small_visit as visit

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply
from doorround.domain.door import Use
from doorround.domain.people import Person
from doorround.domain.schedule.plan import Plan
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

LATER = visit.at(9 * 1440)


def ask(logbook: Logbook, words: str, name: str = "Mona") -> Reply | None:
    person: Person = People(logbook).person(name)
    told = Access(logbook, tuple, 90, "", bytes, Plan()).order(person, words, LATER)
    assert told is None or isinstance(told, Reply)
    return told


def text(logbook: Logbook, words: str, name: str = "Mona") -> str:
    told = ask(logbook, words, name)
    assert told is not None
    return told.say[0].text


def fill(logbook: Logbook) -> None:
    """Four doors on two floors; 14, on the second, was checked on 2 March and has painted seals."""
    for name, role in (("Ines", "caretaker"), ("Mona", "supervisor"), ("Olu", "auditor")):
        logbook.add_person(name, role, visit.at(-9))
    for number, floor in (
        ("14", "second floor"),
        ("15", "2"),
        ("30", "third floor"),
        ("31", "third floor"),
    ):
        logbook.add_door(visit.door(number, floor=floor, use=Use.CORRIDOR), "Mona", visit.at(-5))
    turn = visit.start(visit.door(floor="second floor", use=Use.CORRIDOR))
    logbook.begin("chat", turn)
    turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, 2))
