"""The faces of a door by the names that the place gives them."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_defects_of_a_visit import walk
from visits import CHECKLIST, CORRIDOR, NOON, PASSES, UNKNOWN, Visit, door

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import start_check
from doorround.domain.entries import EntryKind
from doorround.domain.judging.severity import Targets
from doorround.logbook.defects import read_defects
from doorround.logbook.listing import EntryFilter, show_lines
from doorround.logbook.store import Logbook

NAMED = door("12", first_side="corridor side")


def test_the_names_are_asked_once_and_kept_in_the_register() -> None:
    visit = Visit(UNKNOWN).go_to("register.first_side")
    visit.type("corridor side")
    assert visit.turn.door is not None and visit.turn.door.faces == ("corridor side", "room side")
    entry = next(each for each in visit.turn.enter if each.kind is EntryKind.DOOR_CHANGED)
    assert entry.body["learnt"] == {"field": "first_side", "value": "corridor side"}
    visit.go_to("frame.here")
    assert visit.said[-1] == "Corridor side, frame all round: undamaged and firm?"
    again = [each.key for each in CHECKLIST.for_door(visit.check.door)]
    assert "register.first_side" not in again


def test_each_question_names_its_face_in_full_and_tersely() -> None:
    visit = Visit(NAMED).go_to("frame.here")
    assert visit.said[-1].startswith("Corridor side, frame all round")
    visit.go_to("frame.beyond")
    assert visit.said[-1].startswith("Go through. Room side, frame all round")
    terse = Visit(NAMED, terse=True).go_to("leaf.beyond")
    assert terse.said[-1] == "Leaf, room side?"


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("room side glass cracked", "glass.beyond"),
        ("corridor side glass cracked", "glass.here"),
        ("glass on the room side cracked", "glass.beyond"),
    ],
)
def test_a_face_may_be_named_as_the_place_has_it(words: str, key: str) -> None:
    visit = Visit(NAMED).go_to("frame.here")
    visit.type(words)
    assert visit.meaning(key) == "cracked"


def test_a_pair_of_names_is_not_taken_for_another() -> None:
    """The push side of a door that has a corridor and a room is not known to be either."""
    visit = Visit(NAMED).go_to("frame.here")
    visit.type("push side glass cracked")
    assert "glass.beyond" not in visit.check.answers and "glass.here" not in visit.check.answers


def test_going_back_to_the_first_face_is_said() -> None:
    visit = Visit(NAMED).go_to("frame.here")
    visit.type("skip")
    visit.go_to("closer.ajar").type("closes fully")
    assert visit.said[1:] == [
        "Back to what you skipped.",
        "Go back to the corridor side.",
        "Corridor side, frame all round: undamaged and firm?",
    ]
    plain = Visit(CORRIDOR).go_to("frame.here")
    plain.type("skip")
    plain.go_to("closer.ajar").type("closes fully")
    assert "Go back to the side you began on." in plain.said


def test_summary_defects_and_logbook_name_the_face(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(NAMED, "Mona", NOON)
        visit = Visit(NAMED)
        visit.turn = start_check("c1", NAMED, "Robin", CHECKLIST, NOON)
        logbook.begin("chat", visit.turn)
        visit.go_to("leaf.beyond").type("hole")
        logbook.keep("chat", None, visit.turn)
        kept = logbook.position("chat")
        assert kept is not None and kept.checklist.faces == ("corridor side", "room side")
        visit.all_well()
        assert any("Leaf, room side: a hole in it" in line for line in visit.said)
        visit.type("finish")
        logbook.keep("chat", None, visit.turn)
        [defect] = read_defects(logbook, Targets()).open
        assert defect.what == "leaf, room side: a hole in it"
        shown = "\n".join(show_lines(logbook, EntryFilter(), 300))
    assert "Leaf, room side: a hole in it" in shown


def test_checks_from_before_the_names_keep_this_side(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", frame__here="split")
        named = CORRIDOR.model_copy(update={"first_side": NAMED.first_side})
        assert logbook.checklist_of(logbook.check("c1")).faces == ("this side", "other side")
        assert named.faces != CORRIDOR.faces


@pytest.mark.parametrize("gone", ["put_off", "left"])
def test_who_was_sent_through_the_door_may_stand_on_either_side(gone: str) -> None:
    check = Visit(CORRIDOR).go_to("seals").check
    assert expected_input(check).face == "here"
    beyond = check.model_copy(update={gone: ("frame.beyond",)})
    assert expected_input(beyond).face == ""


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("leaf.here", "no, leaf other side split"),
        ("sign.here", "no, other side sign missing"),
        ("frame.here", "no, frame other side damaged"),
    ],
)
def test_a_correction_that_names_the_other_face_corrects_none_of_this_one(
    key: str, words: str
) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    visit.type(PASSES[key], words)
    assert visit.meaning(key) == "sound"


@pytest.mark.parametrize("words", ["damaged on both sides", "room side leaf damaged"])
def test_who_tells_of_the_other_face_from_the_first_is_not_sent_back(words: str) -> None:
    visit = Visit(door(first_side="corridor side")).go_to("leaf.here")
    visit.type(words)
    assert visit.meaning("leaf.beyond") == "damaged"
    assert not any(line.startswith("Go back") for line in visit.said), visit.said
