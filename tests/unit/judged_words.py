"""A house where supervisors judge faults told in a caretaker's own words."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from visits import CHECKLIST, CORRIDOR, NOON, Visit

from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.messenger.results import Reply
from doorround.channels.messenger.word_judging import KeepWords
from doorround.dialogue.turn import start_check
from doorround.domain.defects import Defect
from doorround.domain.door import Door
from doorround.domain.input_result import By, OffGrammar
from doorround.domain.query import read_query
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.store import Logbook
from doorround.reminders.alerts import Alerts

BOOT = "someone's put their boot through it"
LEAF = Door.model_validate({**CORRIDOR.model_dump(), "site": "Alder House"})
OWN = "a fault, in my words"


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """A supervisor, and a caretaker who checks door 12 of Alder House."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Robin", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, NOON)
            Chats(logbook).belong(f"telegram/{name}", name)
        logbook.add_door(LEAF, "Mona", NOON)
        logbook.begin("chat", start_check("c1", LEAF, "Robin", CHECKLIST, NOON))
        yield logbook


class Kept(Visit):
    """A visit whose turns are stored and reported."""

    def __init__(self, logbook: Logbook) -> None:
        super().__init__(LEAF)
        self.logbook = logbook
        self.alerts = Alerts(logbook, Plan())

    def take(self, heard):  # type: ignore[no-untyped-def]
        said = super().take(heard)
        self.logbook.keep("chat", None, self.turn)
        self.alerts.after_turn(self.check, NOON)
        return said

    def tell(self, words: str) -> None:
        self.take(OffGrammar(by=By.TYPING, words=words))
        self.tap(OWN)


def ask(logbook: Logbook, words: str, keep: KeepWords | None = None, name: str = "Mona") -> Reply:
    asked = read_query(words)
    assert asked is not None, words
    told = QueryHandler(logbook, Plan(), keep).answer(People(logbook).person(name), asked, NOON)
    assert told is not None
    return told


def the_defect(logbook: Logbook) -> Defect:
    (defect,) = read_defects(logbook, Plan().defects).all.values()
    return defect


def told_defect(logbook: Logbook, words: str = BOOT) -> Defect:
    visit = Kept(logbook).go_to("leaf.here")
    visit.tell(words)
    visit.all_well().type("finish check")
    return the_defect(logbook)
