"""A door that must not be moved is not moved by any question, and is never fit."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, HELD_OPEN, MEASURED, NFPA, PAIR, Visit, door

from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.findings import Verdict

MOVING = (
    "open it",
    "open both",
    "go through",
    "let go",
    "door open",
    "open the door",
    "door shut",
    "lift",
    "pull",
    "other side",
    "hinge edge",
)
STILL = (
    ("clear", "hinge broken"),
    ("leaf.here", "hinge missing"),
    ("glass.here", "smashed"),
    ("hinges.count", "none"),
    ("hinges.fixings", "hinge broken"),
    ("hinges.fixings", "three screws missing"),
    ("closer.full", "hinge broken"),
)


NAMES_A_SIDE = "register.first_side"
""" "Push or pull" is what a side is called; nothing is pushed."""


LONG_AGO = "did this door let go"
"""At the last alarm test: nobody lets it go now."""


def moves(text: str) -> bool:
    told = text.lower().replace(LONG_AGO, "")
    return any(words in told for words in MOVING)


def broken(
    key: str, words: str, fire_door: Door = HELD_OPEN, checklist: Checklist = CHECKLIST
) -> Visit:
    visit = Visit(fire_door, checklist=checklist).go_to(key)
    visit.type(words)
    if visit.check.pending is not None:
        visit.type("yes")
    assert visit.check.must_not_move
    return visit


@pytest.mark.parametrize("checklist", [CHECKLIST, NFPA, MEASURED], ids=["uk", "nfpa", "measured"])
@pytest.mark.parametrize("fire_door", [HELD_OPEN, PAIR], ids=["held open", "pair"])
def test_a_question_that_speaks_of_opening_or_of_going_through_is_one_that_moves_the_door(
    fire_door: Door, checklist: Checklist
) -> None:
    asked = [each for each in checklist.question if each.key != NAMES_A_SIDE]
    told = [each for each in asked if moves(each.ask) or moves(each.help)]
    assert len(told) > 10 and [each.key for each in told if not each.moves] == []


@pytest.mark.parametrize(("key", "words"), STILL)
def test_after_a_fault_under_which_it_must_not_be_moved_nothing_asks_to_move_it(
    key: str, words: str
) -> None:
    visit = broken(key, words)
    said = list(visit.said)
    assert any("Do not swing the door." in line for line in said)
    assert any("left out, as the door must not be moved." in line for line in said)
    while visit.check.open is not None:
        assert not CHECKLIST.ask(visit.check.open).moves
        said += visit.type("cannot check")
    asked = [line for line in said[1:] if line.endswith("?")]
    assert [line for line in asked if moves(line)] == []
    assert any(line.startswith("Not tested, as the door must not be moved: ") for line in said)
    visit.type("finish check")
    assert visit.check.verdict is Verdict.ACT_NOW
    assert (
        "Closer from 15 degrees (the door must not be moved)"
        in visit.entered[-1].body["not_checked"]
    )


def test_a_way_round_by_going_back_or_changing_does_not_swing_it() -> None:
    visit = broken("closer.ajar", "hinge broken")
    for words in ("change closer", "go back", "change seals"):
        said = visit.type(words)
        # where the broken hinge was said, it may be put right
        assert visit.check.open in (None, "hinges.fixings"), words
        assert not [line for line in said if line.endswith("?") and moves(line)]
    assert (
        visit.type("change closer")[0]
        == "Closer from fully open: not asked again, as the door must not be moved."
    )


def test_what_was_said_of_the_hinge_can_be_put_right_and_then_the_rest_is_asked() -> None:
    visit = broken("hinges.fixings", "hinge broken")
    visit.type("change hinges", "three", "no, marked and tight", "yes")
    assert not visit.check.must_not_move
    assert "closer.full" in [each.key for each in visit.check.unanswered]


def test_a_pass_of_what_must_not_be_tried_is_not_entered() -> None:
    visit = Visit(door()).go_to("hinges.fixings")
    visit.type("hinge broken, closer from fully open closes fully")
    assert "closer.full" not in visit.check.answers


def _moving(checklist: Checklist) -> list[Question]:
    return [each for each in checklist.question if each.moves]


def test_the_check_of_a_sound_door_leaves_nothing_out() -> None:
    visit = Visit(HELD_OPEN).all_well()
    assert {each.key for each in visit.check.questions} <= set(visit.check.answers)
    assert len(_moving(CHECKLIST)) == 34
