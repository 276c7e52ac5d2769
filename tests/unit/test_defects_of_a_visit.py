"""Whole visits of the routine check, typed, kept in a real logbook: what they open and close, and
when they count.
"""

from __future__ import annotations

from pathlib import Path

import visits
from visits import CHECKLIST, CORRIDOR, NOON, PASSES, Visit

from doorround.dialogue.turn import start_check
from doorround.domain.check import Stage
from doorround.domain.defects import State
from doorround.domain.door import Door
from doorround.domain.judging.severity import Targets
from doorround.logbook.defect_deeds import known_wrong
from doorround.logbook.defects import read_defects
from doorround.logbook.due import door_statuses
from doorround.logbook.listing import EntryFilter, show_lines
from doorround.logbook.store import Logbook


def walk(logbook: Logbook, id: str, skipped: str = "", at: Door = CORRIDOR, **said: str) -> Visit:
    """One visit to its signature. said: what is typed at a question, a dot written as two
    underscores. skipped: the question that is left once it was answered, however little that said.
    at: the door.
    """
    visit = Visit()
    visit.turn = start_check(id, at, "Robin", CHECKLIST, NOON)
    logbook.begin("chat", visit.turn)
    for _ in range(80):
        if visit.check.stage is Stage.SIGNED:
            return visit
        key = visit.check.open
        if visit.check.stage is Stage.CONFIRMING:
            line = "yes"
        elif key is not None and key == skipped and key in visit.check.answers:
            line = "skip"
        else:
            line = "finish" if key is None else said.get(key.replace(".", "__"), PASSES[key])
        visit.type(line)
        logbook.keep("chat", None, visit.turn)
    raise AssertionError(f"the visit does not end: {visit.said}")


def test_loose_screws_stay_open_until_a_check_finds_them_tight(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", hinges__fixings="two screws missing")
        [defect] = read_defects(logbook, Targets()).open
        assert "screws" in defect.finding.what and defect.due is not None
        walk(logbook, "c2", hinges__fixings="cannot check", hinges__count="cannot check")
        assert read_defects(logbook, Targets()).all[defect.id].state is State.OPEN
        walk(logbook, "c3")
        assert read_defects(logbook, Targets()).all[defect.id].state is State.CLOSED
        assert logbook.verify() == []


def test_all_clear_does_not_close_that_people_need_a_key_to_leave(tmp_path: Path) -> None:
    """The doorway's question asks for wedges and boxes, not for the lock."""
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", clear="locked")
        [defect] = read_defects(logbook, Targets()).open
        assert defect.finding.rule == "clear.locked"
        walk(logbook, "c2")
        assert read_defects(logbook, Targets()).all[defect.id].state is State.OPEN
        assert "key" in known_wrong(logbook, CORRIDOR)


def test_whoever_begins_at_a_door_that_was_not_to_be_moved_is_told_to_look_first(
    tmp_path: Path,
) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", hinges__fixings="hinge broken")
        assert known_wrong(logbook, CORRIDOR).endswith(
            "Last time this door was not to be moved: look before you open it, and say what you"
            " see."
        )
        assert [
            each.rule for each in (d.finding for d in read_defects(logbook, Targets()).open)
        ] == ["hinges.broken"]
        walk(logbook, "c2")
        assert known_wrong(logbook, CORRIDOR) == ""


def test_a_whole_visit_moves_the_date_and_one_without_access_does_not(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        visit = Visit()
        visit.turn = start_check("c1", CORRIDOR, "Robin", CHECKLIST, NOON)
        logbook.begin("chat", visit.turn)
        for line in ("no access to the door", "yes", "finish", "finish"):
            visit.type(line)
            logbook.keep("chat", None, visit.turn)
        assert visit.check.stage is Stage.SIGNED
        [door] = door_statuses(logbook)
        assert door.checked is None and door.tries == 1
        walk(logbook, "c2")
        [door] = door_statuses(logbook)
        assert door.checked == visits.NOON.date() and door.tries == 0


def test_a_gap_is_not_closed_by_a_check_that_measured_one_edge_only(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", gaps__sides="lock side five")
        [defect] = read_defects(logbook, Targets()).open
        walk(logbook, "c2", gaps__sides="head 3 3 3", skipped="gaps.sides")
        assert read_defects(logbook, Targets()).all[defect.id].state is State.OPEN
        walk(logbook, "c3", gaps__sides="head 3 3 3, sides three")
        assert read_defects(logbook, Targets()).all[defect.id].state is State.CLOSED


def test_a_fault_that_is_reported_and_not_confirmed_closes_nothing_and_stands_in_the_logbook(
    tmp_path: Path,
) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", leaf__here="split")
        [defect] = read_defects(logbook, Targets()).open
        visit = Visit()
        visit.turn = start_check("c2", CORRIDOR, "Robin", CHECKLIST, NOON)
        logbook.begin("chat", visit.turn)
        for line in (
            *(PASSES[key.key] for key in visit.check.questions),
            "probably this side leaf split",
            "skip",
        ):
            visit.type(line)
            logbook.keep("chat", None, visit.turn)
        assert logbook.position("chat") == visit.check and len(visit.check.reported) == 1
        for _ in range(2):
            visit.type("finish")
            logbook.keep("chat", None, visit.turn)
        assert visit.check.stage is Stage.SIGNED
        assert read_defects(logbook, Targets()).all[defect.id].state is State.OPEN
        lines = "\n".join(show_lines(logbook, EntryFilter(check="c2"), width=300))
        assert "Leaf, this side: split: reported, not confirmed" in lines
        assert "Check signed: not shown to be fit" in lines and logbook.verify() == []


def test_a_reported_fault_beside_a_confirmed_one_closes_no_older_defect_of_the_part(
    tmp_path: Path,
) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", frame__here="split")
        [split] = read_defects(logbook, Targets()).open
        visit = Visit()
        visit.turn = start_check("c2", CORRIDOR, "Robin", CHECKLIST, NOON)
        logbook.begin("chat", visit.turn)
        told = iter(["maybe split", "loose"])
        for _ in range(80):
            if visit.check.stage is Stage.SIGNED:
                break
            key = visit.check.open
            at_frame = key == "frame.here" and (line := next(told, None))
            visit.type(line if at_frame and line else "finish" if key is None else PASSES[key])
            logbook.keep("chat", None, visit.turn)
        assert (
            visit.check.stage is Stage.SIGNED
            and visit.check.answers["frame.here"].value.kind == "condition"
        )
        assert [each.question for each in visit.check.reported] == ["frame.here"]
        found = read_defects(logbook, Targets()).all
        assert found[split.id].state is State.OPEN
        assert any("loose" in each.what for each in found.values())
        assert logbook.verify() == []
