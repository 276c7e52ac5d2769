"""A repair is looked at in a short visit: only the parts repaired and the closing tests; signed, it
closes what it saw put right, and is no check of the door.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from test_defects_of_a_visit import walk
from visits import CHECKLIST, CORRIDOR, NOON, PASSES, UNDERSTANDING

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.door_report import door_report
from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.messenger.results import Reply, StartCheck
from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.domain.defects import DeedKind, Defect, State
from doorround.domain.judging.severity import Targets
from doorround.domain.people import Person, Role
from doorround.domain.schedule.plan import Plan
from doorround.logbook.defect_deeds import act
from doorround.logbook.defects import read_defects
from doorround.logbook.due import door_statuses
from doorround.logbook.listing import EntryFilter, show_lines
from doorround.logbook.signed_checks import signed_checks
from doorround.logbook.store import Logbook

LATER = NOON + timedelta(days=1)


@pytest.fixture
def logbook(tmp_path: Path) -> Iterator[Logbook]:
    """Door 12 was checked: two screws of the hinges are missing. Kim has replaced them."""
    with Logbook.open(tmp_path / "logbook.db", "Europe/London") as logbook:
        for name in ("Robin", "Kim"):
            logbook.add_person(name, Role.CARETAKER, NOON)
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", hinges__fixings="two screws missing")
        mend(logbook)
        yield logbook


def mend(logbook: Logbook) -> None:
    [defect] = read_defects(logbook, Targets()).open
    act(
        logbook,
        defect,
        DeedKind.MADE_GOOD,
        "Kim",
        LATER,
        "two screws replaced",
        no_photo="nothing to see",
    )


def only(logbook: Logbook) -> Defect:
    [defect] = read_defects(logbook, Targets()).all.values()
    return defect


class Look:
    """A look, typed on a talk of its own."""

    def __init__(self, logbook: Logbook, folder: Path, person: str) -> None:
        self.count = 0
        self.talk = Talk(
            f"talk of {person}",
            person,
            logbook,
            UNDERSTANDING,
            lambda: pytest.fail("nothing is to be heard here"),
            folder,
            checklist=CHECKLIST,
            intervals=Plan().intervals,
            answers=QueryHandler(logbook, Plan()).say,
        )

    def type(self, *lines: str) -> list[str]:
        said: list[str] = []
        for line in lines:
            self.count += 1
            at = LATER + timedelta(minutes=self.count)
            taken = self.talk.take(Incoming(f"m{self.count}", text=line), at)
            said = [each.text for each in taken.say]
        return said

    def to_the_summary(self, **instead: str) -> tuple[list[str], list[str]]:
        """Answer as if all were well, but for what is given; which questions were asked, and the
        summary.
        """
        asked, said = [], list[str]()
        while self.talk.check is not None and (key := self.talk.check.open) is not None:
            asked.append(key)
            said = self.type(instead.get(key.replace(".", "__"), PASSES[key]))
        return asked, said


def test_a_look_asks_only_the_parts_repaired_and_how_the_door_closes(
    logbook: Logbook, tmp_path: Path
) -> None:
    look = Look(logbook, tmp_path, "Robin")
    begun = look.type("look at door 12")
    assert any("hinges: two screws missing" in line or "screws" in line for line in begun)
    asked, said = look.to_the_summary()
    assert asked == ["latch", "hinges.count", "hinges.fixings", "closer.full", "closer.ajar"]
    assert "Put right: " in said[-1] and "fit" not in said[-1]


def test_signed_it_closes_the_repair_and_is_an_entry_with_who_looked(
    logbook: Logbook, tmp_path: Path
) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type(f"look at defect {only(logbook).id}")
    look.to_the_summary()
    said = look.type("finish check")
    assert said[0].startswith("Signed. Door 12: Put right: ")
    defect = only(logbook)
    assert defect.state is State.CLOSED and defect.ended_by == "Kim"
    last = defect.deeds[-1]
    assert (last.kind, last.person, last.same) == (DeedKind.LOOKED_AT, "Robin", False)
    assert any("Look at repairs signed" in line for line in show_lines(logbook, EntryFilter()))
    assert logbook.verify() == []


def test_the_same_person_may_look_and_the_entry_says_so(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Kim")
    look.type("look at door 12")
    look.to_the_summary()
    assert "You repaired this yourself" in look.type("finish check")[1]
    assert only(logbook).deeds[-1].same


def test_what_is_still_wrong_opens_it_again(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("look at door 12")
    _, said = look.to_the_summary(hinges__fixings="two screws missing")
    assert any("Not seen to be put right" in line for line in said)
    look.type("finish check")
    defect = only(logbook)
    assert (defect.state, defect.reopened) == (State.OPEN, 1)


@pytest.mark.parametrize("answer", ["cannot check", "skip"])
def test_what_was_not_seen_still_waits(logbook: Logbook, tmp_path: Path, answer: str) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("look at door 12")
    for _ in range(12):
        check = look.talk.check
        if check is None or check.open is None:
            break
        look.type(answer if check.open == "hinges.fixings" else PASSES[check.open])
    said = look.type("finish check")
    assert any("Still waiting for a look" in line for line in said)
    assert only(logbook).state is State.MADE_GOOD


def test_a_look_is_no_check_it_moves_no_due_date_and_is_no_attempt(
    logbook: Logbook, tmp_path: Path
) -> None:
    before = door_statuses(logbook)
    look = Look(logbook, tmp_path, "Robin")
    look.type("look at door 12")
    look.to_the_summary()
    look.type("finish check")
    assert door_statuses(logbook) == before and before[0].tries == 0
    assert len(signed_checks(logbook)) == 1
    assert "Robin looked at 1 repair: 1 put right" in door_report(logbook, logbook.doors())


def test_a_fault_of_another_part_may_be_told_at_a_look(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    look.type("look at door 12", "the glass is cracked", "yes")
    look.to_the_summary()
    look.type("finish check")
    found = read_defects(logbook, Targets())
    assert [each.finding.component for each in found.open] == ["glass"]


def test_without_a_repair_there_is_nothing_to_look_at(logbook: Logbook, tmp_path: Path) -> None:
    look = Look(logbook, tmp_path, "Robin")
    assert look.type("look at door 13") == ["No repair at door 13 is waiting for a look."]
    assert look.talk.check is None


def test_in_a_messenger_the_button_of_the_defect_begins_it(logbook: Logbook) -> None:
    access = Access(logbook, tuple, 90, "", bytes, Plan())
    robin = Person("Robin", Role.CARETAKER, NOON)
    id = only(logbook).id
    told = access.order(robin, f"defect {id}", LATER)
    assert isinstance(told, Reply) and f"look at defect {id}" in told.say[0].taps
    begun = access.order(robin, f"look at defect {id}", LATER)
    assert isinstance(begun, StartCheck) and begun.look
    assert begun.door is not None and begun.door.number == "12"
