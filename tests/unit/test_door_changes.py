"""Doors moved, renumbered, retired and brought back keep their history; checks made before
doorround count for due.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
import small_visit as visit

from doorround.channels.messenger.door_report import doors_called
from doorround.domain.door import Door, Use
from doorround.domain.entries import EntryKind
from doorround.domain.judging.severity import Targets
from doorround.domain.links import DoorLink, LinkKey, door_of, door_payload, read_payload
from doorround.domain.people import Person
from doorround.domain.schedule.intervals import Intervals
from doorround.logbook.defect_deeds import put_out
from doorround.logbook.defects import read_defects
from doorround.logbook.door_changes import (
    bring_back_door,
    move_door,
    renumber_door,
    retire_door,
)
from doorround.logbook.due import door_statuses, doors_due
from doorround.logbook.errors import DoorExistsError, LogbookError, UnknownDoorError
from doorround.logbook.store import Logbook

KEY = LinkKey("a", b"k" * 32)
DAY = 1440
"""Minutes."""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "logbook.db"


@pytest.fixture
def logbook(path: Path) -> Iterator[Logbook]:
    with Logbook.open(path, "Europe/London") as logbook:
        logbook.add_door(visit.door(use=Use.CORRIDOR), "Mona", visit.at(-5))
        yield logbook
        assert logbook.verify() == []


def check(
    logbook: Logbook, door: Door, minute: float, id: str, value: visit.Value = visit.PAINTED
) -> None:
    visit.keep_check(logbook, door, id, minute, value)


def test_a_renumbered_door_keeps_its_checks_its_defects_and_its_due_date(logbook: Logbook) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    before = door_statuses(logbook)[0]
    after = renumber_door(
        logbook, logbook.door("14"), "2.14", "numbered by floor", "Mona", visit.at(DAY)
    )
    assert (after.number, after.use) == ("2.14", Use.CORRIDOR)
    assert door_statuses(logbook) == [before._replace(number="2.14")]
    assert [each.id for each in logbook.checks(after)] == ["c1"]
    assert logbook.last_check(after) is not None and not logbook.first_visit(after)
    found = read_defects(logbook, Targets(), door=after)
    assert [each.what for each in found.at(("Alder House", "East", "2.14"))] == [
        "seals painted over"
    ]
    assert logbook.entries()[-1].kind is EntryKind.DOOR_RENUMBERED
    assert [each.number for each in logbook.doors()] == ["2.14"]


def test_the_old_number_finds_the_door_until_another_door_has_it(logbook: Logbook) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    renumber_door(logbook, logbook.door("14"), "2.14", "numbered by floor", "Mona", visit.at(DAY))
    assert logbook.door("14").number == "2.14"
    logbook.add_door(visit.door("14", place="new"), "Mona", visit.at(DAY + 1))
    assert (logbook.door("14").place, logbook.door("2.14").place) == ("new", "")
    assert (
        logbook.checks(logbook.door("14")) == [] and len(logbook.checks(logbook.door("2.14"))) == 1
    )
    check(logbook, logbook.door("14"), 2 * DAY, "c2")
    renumber_door(
        logbook, logbook.door("14"), "2.15", "numbered by floor", "Mona", visit.at(3 * DAY)
    )
    assert [each.id for each in logbook.checks(logbook.door("2.15"))] == ["c2"]
    assert [each.id for each in logbook.checks(logbook.door("2.14"))] == ["c1"]
    assert logbook.door("14").number == "2.15"
    assert {each.door[2] for each in read_defects(logbook, Targets()).open} == {"2.14", "2.15"}


def test_a_check_that_was_open_when_the_door_was_renumbered_is_its_check(logbook: Logbook) -> None:
    turn = visit.start(logbook.door("14"))
    logbook.begin("chat", turn)
    renumber_door(logbook, logbook.door("14"), "2.14", "numbered by floor", "Mona", visit.at(1))
    turn = visit.answer(turn.check, "seals", visit.PAINTED, 2)
    logbook.keep("chat", None, turn)
    logbook.keep("chat", None, visit.close(turn.check, 3))
    assert door_statuses(logbook)[0].checked == date(2026, 3, 2)
    assert logbook.checks(logbook.door("2.14"))[0].stage == "signed"


def test_a_door_that_moves_keeps_its_history_in_the_other_building(logbook: Logbook) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    put_out(logbook, logbook.door("14"), "leaf taken off", "Mona", visit.at(5))
    moved = move_door(
        logbook,
        logbook.door("14"),
        {"building": "West", "floor": "3"},
        "hung there",
        "Mona",
        visit.at(DAY),
    )
    assert (moved.building, moved.floor) == ("West", "3")
    assert [(each.building, each.floor, each.checked) for each in door_statuses(logbook)] == [
        ("West", "3", date(2026, 3, 2))
    ]
    assert read_defects(logbook, Targets()).out == {("Alder House", "West", "14"): "leaf taken off"}
    assert logbook.door("14", building="East").building == "West"
    kept = len(logbook.entries())
    move_door(logbook, logbook.door("14"), {"building": "West"}, "again", "Mona", visit.at(DAY))
    assert len(logbook.entries()) == kept


def test_a_number_that_is_taken_is_refused(logbook: Logbook) -> None:
    logbook.add_door(visit.door("15"), "Mona", visit.at(0))
    logbook.add_door(visit.door("14", building="West"), "Mona", visit.at(0))
    with pytest.raises(DoorExistsError, match="There is a door 15 in Alder House, East already"):
        renumber_door(logbook, logbook.door("14", building="East"), " 15", "x", "Mona", visit.at(1))
    with pytest.raises(DoorExistsError, match="There is a door 14 in Alder House, West already"):
        move_door(
            logbook,
            logbook.door("14", building="East"),
            {"building": "West"},
            "x",
            "Mona",
            visit.at(1),
        )
    with pytest.raises(ValueError, match="Say why"):
        renumber_door(logbook, logbook.door("15"), "16", "  ", "Mona", visit.at(1))


def test_a_retired_door_is_due_no_more_and_comes_back_with_its_history(logbook: Logbook) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    retire_door(logbook, logbook.door("14"), "bricked up", "Mona", visit.at(DAY))
    assert logbook.doors() == [] and door_statuses(logbook) == []
    assert doors_due(logbook, Intervals(), date(2026, 3, 30), visit.at(28 * DAY)) == []
    assert [each.number for each in door_statuses(logbook, date(2026, 3, 2))] == ["14"]
    assert door_statuses(logbook, date(2026, 3, 3)) == []
    with pytest.raises(
        UnknownDoorError, match=r"Door 14 was retired on 2026-03-03: bricked up\. .*bring-back 14"
    ):
        logbook.door("14")
    with pytest.raises(UnknownDoorError, match="bring-back"):
        logbook.add_door(visit.door("14"), "Mona", visit.at(DAY))
    [kept] = logbook.retired_doors()
    assert (kept.door.number, kept.why) == ("14", "bricked up")
    bring_back_door(logbook, kept.door, "opened again", "Mona", visit.at(2 * DAY))
    assert [each.checked for each in door_statuses(logbook)] == [date(2026, 3, 2)]
    assert (
        door_statuses(logbook, date(2026, 3, 3)) == []
        and len(door_statuses(logbook, date(2026, 3, 4))) == 1
    )
    with pytest.raises(LogbookError, match="Door 14 is in use"):
        bring_back_door(logbook, kept.door, "again", "Mona", visit.at(3 * DAY))


def test_the_head_of_the_register_moves_with_all_that_becomes_of_a_door(logbook: Logbook) -> None:
    heads = [logbook.register_head()]
    for change in (
        lambda: move_door(logbook, logbook.door("14"), {"floor": "2"}, "x", "Mona", visit.at(1)),
        lambda: renumber_door(logbook, logbook.door("14"), "15", "x", "Mona", visit.at(2)),
        lambda: retire_door(logbook, logbook.door("15"), "x", "Mona", visit.at(3)),
        lambda: bring_back_door(logbook, logbook.retired_doors()[0].door, "x", "Mona", visit.at(4)),
    ):
        change()
        heads.append(logbook.register_head())
    assert len(set(heads)) == 5


def test_a_logbook_from_before_gets_the_names_of_its_doors(
    logbook: Logbook, path: Path, tmp_path: Path
) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    logbook.add_door(visit.door("15"), "Mona", visit.at(1))
    old = visit.older_file(path, tmp_path / "old.db", "doors_moved_and_retired")
    with Logbook.open(old, "Europe/London") as again:
        assert again.verify() == []
        assert door_statuses(again) == door_statuses(logbook)
        renumber_door(again, again.door("14"), "16", "x", "Mona", visit.at(2))
        assert [each.id for each in again.checks(again.door("16"))] == ["c1"]
        assert again.verify() == []


def test_a_label_opens_the_door_it_hangs_on_whatever_its_number_is_now(logbook: Logbook) -> None:
    def scanned(payload: str) -> str:
        link = read_payload(payload)
        assert isinstance(link, DoorLink)
        found = door_of(link, logbook.labels(), [KEY])
        return found.number if isinstance(found, Door) else "none"

    def printed(number: str) -> str:
        label = logbook.label(logbook.door(number))
        return door_payload(label.called, KEY, label.before)

    first = printed("14")
    assert scanned(first) == "14"
    renumber_door(logbook, logbook.door("14"), "2.14", "x", "Mona", visit.at(1))
    assert scanned(first) == "2.14"
    logbook.add_door(visit.door("14", place="new"), "Mona", visit.at(2))
    assert scanned(first) == "2.14"
    assert scanned(printed("14")) == "14" and scanned(printed("2.14")) == "2.14"
    retire_door(logbook, logbook.door("2.14"), "x", "Mona", visit.at(3))
    assert scanned(first) == "none"


def test_nobody_is_asked_to_mend_a_retired_door_and_its_defects_come_back_with_it(
    logbook: Logbook,
) -> None:
    check(logbook, logbook.door("14"), 0, "c1")
    put_out(logbook, logbook.door("14"), "leaf taken off", "Mona", visit.at(5))
    [open_before] = read_defects(logbook, Targets()).open
    retire_door(logbook, logbook.door("14"), "bricked up", "Mona", visit.at(DAY))
    found = read_defects(logbook, Targets())
    assert found.open == [] and found.out == {} and found.all == {}
    assert found.called(open_before.id) == open_before
    # what was said of the day before stays as it was
    assert [each.id for each in read_defects(logbook, Targets(), date(2026, 3, 2)).open] == [
        open_before.id
    ]
    bring_back_door(
        logbook, logbook.retired_doors()[0].door, "opened again", "Mona", visit.at(2 * DAY)
    )
    found = read_defects(logbook, Targets())
    assert [each.id for each in found.open] == [open_before.id] and len(found.out) == 1


def test_who_asks_for_a_door_by_its_old_number_gets_it(logbook: Logbook) -> None:
    renumber_door(logbook, logbook.door("14"), "2.14", "x", "Mona", visit.at(1))
    here = Person("Ada", "auditor", visit.at(0), ("Alder House",))
    elsewhere = Person("Eve", "auditor", visit.at(0), ("Barn",))
    assert [door.number for door in doors_called(logbook, here, "door 14")] == ["2.14"]
    assert doors_called(logbook, elsewhere, "14") == [] and doors_called(logbook, here, "99") == []
