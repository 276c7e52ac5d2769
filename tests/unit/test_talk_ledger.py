"""What holds whatever is said: random talks against a ledger. 10,000 of them: make talks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Unread
from doorround.domain.input_result import Heard, OffGrammar, Silence, Unsure
from doorround.hearing.session.interpretation import typed
from tests.unit.talk_ledger import Line, Talk, Visit, laws, run
from tests.unit.visits import CORRIDOR, UNDERSTANDING, door
from tests.whole import so_many

FIRST = 1_000_000
"""Other talks than those that the command drives."""


@pytest.mark.parametrize("hundred", range(so_many(2, 3)))
def test_no_law_is_broken_in_a_hundred_random_talks(hundred: int) -> None:
    for seed in range(FIRST + 100 * hundred, FIRST + 100 * hundred + 100):
        run(seed)


def test_the_ledger_notices_a_fault_that_goes_missing() -> None:
    talk = Talk.at(CORRIDOR)
    talk.say(Line("wedged open", "fault", about="clear", fault="wedged"))
    check = talk.visit.check
    forgotten = check.model_copy(update={"answers": {}, "findings": {}, "last": ()})
    real, talk.visit.turn = talk.visit.turn, talk.visit.turn
    line = Line("repeat", "command")
    found = dict(laws(line, None, check, (), Turn(forgotten, (), (), None, real.message)))  # type: ignore[arg-type]
    assert found["no fault vanishes"] == {("clear", "wedged")}


def test_the_ledger_notices_what_another_window_changes() -> None:
    talk = Talk.at(CORRIDOR)
    talk.say(Line("wedged open", "fault", about="clear", fault="wedged"))
    check = talk.visit.check
    moved_on = check.model_copy(update={"open": "frame.here"})
    line = Line("", "window")
    found = dict(laws(line, Silence(), check, (), Turn(moved_on, ())))
    assert found["another window changes nothing"] == ["open"]


def test_the_ledger_notices_a_forward_that_answers() -> None:
    talk = Talk.at(CORRIDOR)
    before = talk.visit.check
    talk.say(Line("all clear", "pass", about="clear"))
    line = Line("all clear", "forward")
    found = dict(laws(line, Silence(), before, (), talk.visit.turn))
    assert found["a forward confirms and orders nothing"] is True


def test_the_ledger_notices_a_face_that_passes_without_being_named() -> None:
    talk = Talk.at(CORRIDOR)
    talk.visit.go_to("frame.here")
    before = talk.visit.check
    talk.say(Line("undamaged and firm", "pass", about="frame"))
    line = Line("other side frame fine", "face", about="frame")
    found = dict(laws(line, Silence(), before, (), talk.visit.turn))
    assert found["no unseen part passes"] == {"frame.here"}


def test_the_ledger_notices_a_pass_that_nobody_was_sure_of() -> None:
    talk = Talk.at(CORRIDOR)
    talk.visit.go_to("frame.here")
    before = talk.visit.check
    line = Line("undamaged and firm", "pass", about="frame")
    talk.say(line)
    found = dict(laws(line, OffGrammar(), before, (), talk.visit.turn))
    assert found["no unseen part passes"] == {"frame.here"}


def test_the_ledger_notices_own_words_that_go_missing() -> None:
    talk = Talk.at(CORRIDOR)
    talk.visit.go_to("leaf.here")
    talk.say(Line("gone all manky", "words"))
    talk.say(Line("skip", "command"))
    check = talk.visit.check
    [report] = check.reported
    forgotten = check.model_copy(update={"reported": ()})
    turn = Turn(forgotten, (), (), None, talk.visit.turn.message)
    found = dict(laws(Line("repeat", "command"), Silence(), check, (), turn))
    assert [part for part, _ in found["no fault vanishes"]] == ["leaf"]  # type: ignore[attr-defined]
    waits = Unread(question="leaf.here", heard=OffGrammar(words=report.heard.words))
    kept = replace(turn, check=forgotten.model_copy(update={"unread": (waits,)}))
    found = dict(laws(Line("repeat", "command"), Silence(), check, (), kept))
    assert not found["no fault vanishes"]


def doubted(visit: Visit, words: str) -> None:
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    assert isinstance(heard, Heard)
    visit.take(Unsure(guesses=(heard,)))


def test_a_second_fault_said_to_the_read_back_comes_on_top_of_what_stands() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("warped")
    doubted(visit, "leaf split")
    assert visit.said[-1].endswith("warped; split. Right?")
    visit.type("leaf split")
    assert visit.meaning("leaf.here") == "warped; split"


def test_denying_another_fault_is_no_answer_to_a_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    doubted(visit, "warped")
    assert visit.type("no holes")[-1].endswith("Tap or say yes or no: Leaf, this side: warped?")
    visit.type("no")
    assert visit.check.pending is None and visit.check.reported == ()


def test_a_typed_fault_that_was_refused_once_may_be_said_again() -> None:
    visit = Visit(CORRIDOR).all_well()
    visit.type("closer does not latch", "no")
    assert visit.type("closer does not latch")[-1].endswith("Right?")


def test_not_seen_never_takes_the_place_of_a_fault_that_stands() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("damaged", "frame cannot check")
    assert visit.meaning("frame.here") == "damaged"


def test_a_fault_is_kept_where_its_question_is_asked_anew_for_the_door_as_it_is_known() -> None:
    visit = Visit(door("231", hold_open=None)).go_to("register.hold_open")
    visit.type("sign missing", "magnet")
    assert "sign.here" not in visit.check.answers
    assert [each.question for each in visit.check.reported] == ["sign.here"]
    visit.go_to("sign.here")
    assert visit.said[1].startswith("Sign, this side: missing")


def test_the_other_face_said_to_a_read_back_passes_none_of_this_one() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    doubted(visit, "undamaged and firm")
    visit.type("other side frame fine")
    assert "frame.here" not in visit.check.answers
