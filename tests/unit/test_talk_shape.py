"""The shape of a talk: what is asked first, what is echoed, what the buttons offer first."""

from __future__ import annotations

from pathlib import Path

from test_defects_of_a_visit import walk
from visits import CHECKLIST, CORRIDOR, HELD_OPEN, NOON, UNKNOWN, Visit

from doorround.dialogue.turn import start_check
from doorround.logbook.defect_deeds import faulty_before
from doorround.logbook.store import Logbook


def order(visit: Visit) -> list[str]:
    return [each.key for each in visit.check.questions]


def test_a_door_that_is_held_open_is_let_go_before_what_wants_it_shut() -> None:
    keys = order(Visit(HELD_OPEN))
    assert keys[:3] == ["clear", "hold_open", "alarm_release"]


def test_the_first_check_asks_for_sizes_last_and_without_a_tape_for_none() -> None:
    visit = Visit(UNKNOWN)
    assert order(visit)[-3:] == ["register.width", "register.height", "register.mass"]
    visit.go_to("register.width")
    assert visit.type("not measured")[-1].startswith("If a plate or label says")
    assert "register.height" not in visit.check.answers
    visit.type("undo")
    assert visit.type("926")[-1] == "And how high is it, in millimetres?"


def test_an_answer_that_was_read_back_is_not_echoed_once_more() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    assert visit.type("not broken")[-1].endswith("Right?")
    assert visit.type("yes") == ["This side, leaf: undamaged, no holes?"]


def test_the_face_goes_without_saying_where_it_was_asked_about() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    assert visit.type("undamaged and firm")[0] == "Frame: sound."
    assert visit.type("other side glass cracked")[0] == "Glass, other side: cracked."


def test_a_pass_of_the_face_not_yet_reached_is_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    assert visit.type("undamaged and firm on the other side")[0] == (
        "Frame, other side: sound. Right?"
    )
    assert "frame.beyond" not in visit.check.answers
    visit.type("yes")
    assert visit.meaning("frame.beyond") == "sound"
    visit.go_to("frame.here").type("undamaged and firm", "undamaged and firm")
    assert visit.type("leaf undamaged on the other side")[0] == "Leaf, other side: sound."


def test_the_pass_is_not_the_first_button_where_a_fault_was_found_before(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        walk(logbook, "c1", frame__here="split")
        walk(logbook, "c2")
        assert faulty_before(logbook, CORRIDOR) == ("frame.here",)
    visit = Visit(CORRIDOR)
    visit.turn = start_check("c3", CORRIDOR, "Robin", CHECKLIST, NOON, faulty=("frame.here",))
    visit.go_to("frame.here")
    assert visit.turn.say[-1].taps == ("damaged", "undamaged and firm", "split", "loose")
    visit.type("undamaged and firm")
    assert visit.turn.say[-1].taps[0] == "undamaged, no holes"


def test_buttons_keep_their_numbers_while_the_clock_runs() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    before = visit.turn.say[-1].taps
    visit.type("help")
    assert visit.turn.say[-1].taps[: len(before)] == before


def test_this_side_is_no_yes_to_what_is_read_back_of_the_other() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("other side leaf fine", "this side leaf fine")
    assert "leaf.beyond" not in visit.check.answers
