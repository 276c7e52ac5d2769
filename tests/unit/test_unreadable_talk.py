"""A talk that cannot be read any more keeps nothing of the others back: no alert, no reminder, no
summary.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from visits import CHECKLIST, CORRIDOR, NOON, Visit

from doorround.dialogue.turn import start_check
from doorround.domain.door import Door
from doorround.domain.schedule.plan import Plan
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.period import read_period, with_unconfirmed
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp
from doorround.reminders.alerts import Alerts

LEAF = Door.model_validate({**CORRIDOR.model_dump(), "site": "Alder House"})
OTHER = LEAF.model_copy(update={"number": "14"})
WAITED = NOON + timedelta(minutes=5)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Robin's talk reads a fault back; Kim's, too, and was kept by another version."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name, role in (("Robin", "caretaker"), ("Kim", "caretaker"), ("Mona", "supervisor")):
            logbook.add_person(name, role, NOON)
        Chats(logbook).belong("telegram/Mona", "Mona")
        for id, name, door in (("c0", "Kim", OTHER), ("c1", "Robin", LEAF)):
            logbook.add_door(door, "Mona", NOON)
            logbook.begin(name, start_check(id, door, name, CHECKLIST, NOON))
        yield logbook


def reads_back(logbook: Logbook) -> None:
    visit = Visit(LEAF)
    visit.go_to("closer.full")
    visit.type("leaf split")
    assert visit.check.stage == "confirming"
    logbook.keep("Robin", None, visit.turn)
    spoil(logbook, "Kim")


def spoil(logbook: Logbook, talk: str) -> None:
    """Its stage is left, as in a talk of another version."""
    with logbook.writing():
        logbook._db.conn.execute(
            "UPDATE talks SET position = ?, updated = ? WHERE talk = ?",
            ('{"stage": "confirming", "shape": "new"}', stamp(NOON), talk),
        )


def test_what_others_read_back_is_still_entered_and_told(logbook: Logbook) -> None:
    reads_back(logbook)
    Alerts(logbook, Plan()).tick(WAITED)
    assert [each.kind for each in logbook.entries(check="c1")].count("reported") == 1


def test_the_summary_still_says_what_is_not_confirmed(logbook: Logbook) -> None:
    reads_back(logbook)
    day = NOON.date()
    span = read_period(logbook, Plan(), "Today", day, day, lambda site: True, [])
    told = with_unconfirmed(logbook, span, lambda site: True)
    assert [each.door[2] for each in told.unconfirmed] == ["12"]


def test_a_report_in_an_unreadable_talk_holds_up_no_alert(logbook: Logbook) -> None:
    reads_back(logbook)
    Alerts(logbook, Plan()).tick(WAITED)
    spoil(logbook, "Robin")
    Alerts(logbook, Plan()).tick(WAITED + timedelta(minutes=5))
    assert isinstance(Outbox(logbook).all("telegram/Mona"), list)
