"""A supervisor gives a defect in the chat: to whom, until when and why so late; whoever stands in
for somebody away does their work.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply
from doorround.domain.defects import Defect
from doorround.domain.door import Use
from doorround.domain.people import Role
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defects import read_defects
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

WEDNESDAY = visit.at(9 * 1440)
"""11 March 2026; the defect was found on Monday 2 March."""


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Door 14 has painted seals, found by Ines."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        people = {"Ines": Role.CARETAKER, "Kim": Role.CARETAKER, "Mona": Role.SUPERVISOR}
        for name, role in people.items():
            logbook.add_person(name, role, visit.at(-9))
        door = visit.door(floor="second floor", use=Use.CORRIDOR)
        logbook.add_door(door, "Mona", visit.at(-5))
        turn = visit.start(door)
        logbook.begin("chat", turn)
        turn = visit.answer(turn.check, "seals", visit.PAINTED, 1)
        logbook.keep("chat", None, turn)
        logbook.keep("chat", None, visit.close(turn.check, 2))
        yield logbook


def text(logbook: Logbook, words: str, name: str = "Mona") -> str:
    access = Access(logbook, tuple, 90, "", bytes, Plan())
    told = access.order(People(logbook).person(name), words, WEDNESDAY)
    assert isinstance(told, Reply)
    return told.say[0].text


def only(logbook: Logbook) -> Defect:
    [defect] = read_defects(logbook, Plan().defects).open
    return defect


def test_a_date_may_be_given_with_it(logbook: Logbook) -> None:
    id = only(logbook).id
    assert text(logbook, f"give defect {id} to Kim by 2026-03-12: the painter comes then") == (
        f"Kim now has defect {id}, due by 12 March."
    )
    assert (only(logbook).given_to, only(logbook).due) == ("Kim", date(2026, 3, 12))


def test_a_date_past_is_refused_and_one_later_than_the_rule_needs_a_reason(
    logbook: Logbook,
) -> None:
    id = only(logbook).id
    assert text(logbook, f"give defect {id} to Kim by 2026-03-10") == (
        "2026-03-10 is past. Give a day from 2026-03-11 on."
    )
    asked = text(logbook, f"give defect {id} to Kim by 2026-04-20")
    assert asked.endswith("say why: “by 2026-04-20: …”, or --why.")
    assert only(logbook).given_to is None
    text(logbook, f"give defect {id} to Kim by 2026-04-20: the seals are on order")
    assert only(logbook).given_to == "Kim" and only(logbook).late_by_rule(date(2026, 4, 1))


def test_somebody_from_outside_is_entered_as_a_contractor_and_an_unknown_name_refused(
    logbook: Logbook,
) -> None:
    id = only(logbook).id
    for nobody in ("Bob", "Kim: done", "42: //"):
        assert "checks doors at that site" in text(logbook, f"give defect {id} to {nobody}")
    assert text(logbook, f"give defect {id} to Hale Joinery: Jo").startswith("Hale Joinery: Jo now")
    [contractor] = [each for each in logbook.people() if each.role == Role.CONTRACTOR]
    assert contractor.name == only(logbook).given_to == "Hale Joinery: Jo"
    text(logbook, f"give defect {id} to hale joinery: jo")
    assert len([each for each in logbook.people() if each.role == Role.CONTRACTOR]) == 1


def test_whoever_stands_in_for_somebody_away_sees_and_mends_what_they_have(
    logbook: Logbook,
) -> None:
    id = only(logbook).id
    text(logbook, f"give defect {id} to Ines")
    assert text(logbook, "my defects", "Kim").startswith("No open defect")
    assert "whoever has it" in text(logbook, f"defect {id} made good: new seals", "Kim")
    text(logbook, "off until 2026-03-20: Kim", "Ines")
    assert f"Defect {id}, door 14" in text(logbook, "my defects", "Kim")
    assert f"Defect {id}, door 14" in text(logbook, f"defect {id}", "Kim")
    said = f"defect {id} made good: new seals; no photo: it is dark there"
    assert "is noted as made good" in text(logbook, said, "Kim")
