"""A round handed over: the check in the middle, the sites, and who cannot take it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import small_visit as visit
from joined_people import KIM, SAM, join

from doorround.domain.entries import EntryKind
from doorround.domain.people import Account, Role
from doorround.logbook.errors import LogbookError
from doorround.logbook.handover import hand_over
from doorround.logbook.listing import show_lines
from doorround.logbook.people import People
from doorround.logbook.store import Logbook


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path) as logbook:
        yield logbook


# ---- handing over


def test_a_round_is_handed_over_with_the_check_in_the_middle(logbook: Logbook) -> None:
    join(logbook, SAM, "Sam", sites=("Alder House",))
    join(logbook, KIM, "Kim", minute=1, sites=("Barn",))
    logbook.add_door(visit.door(), "Mona", visit.at(2))
    turn = visit.start(visit.door(), person="Sam", minute=3)
    logbook.begin(SAM.talk, turn)
    turn = visit.answer(turn.check, "seals", visit.SOUND, 4)
    logbook.keep(SAM.talk, "m1", turn)
    moved = hand_over(logbook, "Sam", "Kim", "Sam", visit.at(5))
    assert moved is not None and moved.person == "Kim" and set(moved.answers) == {"seals"}
    assert logbook.position(SAM.talk) is None and logbook.position(KIM.talk) == moved
    logbook.keep(KIM.talk, "m2", visit.answer(moved, "closer.shuts", visit.YES, 6))
    answered = [
        entry.person for entry in logbook.entries(check="c1") if entry.kind is EntryKind.ANSWERED
    ]
    assert answered == ["Sam", "Kim"]
    assert People(logbook).person("Kim").sites == ("Barn", "Alder House")
    assert any(
        "Handed over: the round of Sam to Kim, check c1" in line
        for line in show_lines(logbook, width=200)
    )
    assert logbook.verify() == []


def test_a_round_without_an_open_check_is_the_sites_alone(logbook: Logbook) -> None:
    join(logbook, SAM, "Sam", sites=("Alder House",))
    join(logbook, KIM, "Kim", minute=1)
    assert hand_over(logbook, "Sam", "Kim", "Mona", visit.at(5)) is None
    assert People(logbook).person("Kim").sites == ()


def test_nothing_is_handed_to_who_cannot_take_it(logbook: Logbook) -> None:
    join(logbook, SAM, "Sam")
    join(logbook, KIM, "Kim", minute=1)
    join(logbook, Account("telegram", "3"), "Ada", Role.AUDITOR, minute=2)
    for number, account, person in (("14", SAM, "Sam"), ("15", KIM, "Kim")):
        logbook.add_door(visit.door(number), "Mona", visit.at(3))
        logbook.begin(
            account.talk, visit.start(visit.door(number), id=f"c{number}", person=person, minute=4)
        )
    before = logbook.head()
    for taker, why in (
        ("Kim", "in the middle of door 15"),
        ("Ada", "may not check doors"),
        ("Sam", "already"),
    ):
        with pytest.raises(LogbookError, match=why):
            hand_over(logbook, "Sam", taker, "Mona", visit.at(5))
    assert logbook.head() == before and logbook.position(SAM.talk) is not None
