"""Where a repair is to be looked at is asked for by number, by place or by nothing; at an open
check it is told how to get there, and nothing of the check is lost.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from test_defects_of_a_visit import walk
from test_repair_visit import Look, mend, only
from visits import CORRIDOR, NOON, door

from doorround.domain.check import Stage
from doorround.domain.people import Role
from doorround.logbook.store import Logbook

KITCHEN = door(number="107", floor="ground floor", place="kitchen corridor")


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Doors 12 and 107; the repair of 12 waits for a look."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name in ("Robin", "Kim"):
            logbook.add_person(name, Role.CARETAKER, NOON)
        for each in (CORRIDOR, KITCHEN):
            logbook.add_door(each, "Mona", NOON)
        walk(logbook, "c1", hinges__fixings="two screws missing")
        mend(logbook)
        yield logbook


def test_one_repair_is_offered_with_its_door_and_begins_after_a_yes(
    logbook: Logbook, tmp_path: Path
) -> None:
    look = Look(logbook, tmp_path, "Robin")
    asked = look.type("look at the repairs")
    assert asked[0].startswith("Look at the repair of door 12") and asked[0].endswith("Right?")
    assert look.talk.check is None
    look.type("yes")
    assert look.talk.check is not None and [each.defect for each in look.talk.check.repairs] == [
        only(logbook).id
    ]


def test_after_a_no_nothing_begins(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    assert look.type("look at the repairs", "no")[0].startswith("Not that, then.")
    assert look.talk.check is None


def test_another_door_named_then_begins_a_whole_check(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("look at the repairs", "107")
    assert look.talk.check is not None and not look.talk.check.repairs


def test_of_several_repairs_one_is_chosen(logbook: Logbook, tmp_path: Path) -> None:
    walk(logbook, "c2", at=KITCHEN, hinges__fixings="a screw missing")
    mend(logbook)
    look = Look(logbook, tmp_path, "Robin")
    asked = look.type("look at the repairs")
    assert asked[0].startswith("Repairs to look at: door 12") and "or door 107" in asked[0]
    look.type("107")
    check = look.talk.check
    assert check is not None and check.door.number == "107" and len(check.repairs) == 1


@pytest.mark.parametrize(
    "words",
    [
        "look at door one oh seven",
        "look at the repair at door number 107",
        "look at the kitchen corridor",
    ],
)
def test_a_door_is_named_for_a_look_as_it_is_for_a_check(
    logbook: Logbook, tmp_path: Path, words: str
) -> None:
    walk(logbook, "c2", at=KITCHEN, hinges__fixings="a screw missing")
    mend(logbook)
    look = Look(logbook, tmp_path, "Robin")
    look.type(words)
    check = look.talk.check
    assert check is not None and check.door.number == "107" and check.repairs


def test_where_nothing_was_repaired_it_says_so(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    said = look.type("look at door one oh seven")
    assert said == ["No repair at door 107 is waiting for a look."]
    look.type("look at door 12")
    look.to_the_summary()
    look.type("finish check")
    assert look.type("look at the repairs") == ["No repair is waiting for a look."]


@pytest.mark.parametrize(
    "words", ["look at door 12", "Look at door one oh seven.", "look at the repairs"]
)
def test_at_an_open_check_it_is_told_how_and_the_question_stays(
    logbook: Logbook, tmp_path: Path, words: str
) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("107", "all clear")
    before = look.talk.check
    assert before is not None
    told = look.type(words)
    assert told[0].startswith("Door 107 is not finished. Carry on here, or say “another door”")
    after = look.talk.check
    assert after is not None and (after.open, after.answers, after.misses) == (
        before.open,
        before.answers,
        0,
    )


def test_the_check_put_aside_for_a_look_goes_on_after_it(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("107", "all clear", "another door", "look at door 12")
    assert look.talk.check is not None and look.talk.check.door.number == "12"
    look.to_the_summary()
    look.type("finish check", "carry on")
    check = look.talk.check
    assert check is not None and check.door.number == "107" and check.stage is Stage.ASKING
    assert len(check.answers) == 1


@pytest.mark.parametrize(
    "words",
    [
        "look at the door it is split",
        "look at the repair, it slams",
        "look at the repair of the hinge it is loose",
        "look at the repair at the head is cracked",
    ],
)
def test_a_fault_told_in_such_words_is_no_question(
    logbook: Logbook, tmp_path: Path, words: str
) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("107", "all clear")
    assert not any("not finished" in line for line in look.type(words))
