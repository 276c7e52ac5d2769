"""A fault told when its part had its answer: it is taken, on top of what was told before, and
nothing else is.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.values import Condition
from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.session.question_grammar import grammar_now


def faults(visit: Visit, key: str) -> list[str]:
    value = visit.check.answers[key].value
    assert isinstance(value, Condition)
    return [defect.name for defect in value.defects]


def test_a_fault_of_a_passed_part_replaces_the_pass_and_the_round_goes_on_where_it_was() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert faults(visit, "hinges.fixings") == []
    said = visit.type("top hinge loose")
    assert said[0] == "Hinges: loose, top hinge."
    assert faults(visit, "hinges.fixings") == ["loose"] and visit.check.open == "closer.full"
    entered = visit.turn.enter[0]
    assert entered.kind is EntryKind.ANSWERED and entered.body["corrects"] == "hinges.fixings#1"


def test_it_comes_on_top_of_the_faults_that_were_told_before() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    visit.type("top hinge loose")
    visit.type("hinges two screws missing")
    assert faults(visit, "hinges.fixings") == ["loose", "screw_missing"]


def test_a_fault_that_is_told_again_is_entered_once_and_costs_nothing() -> None:
    """If it were entered again, its defect would get a number the supervisor was not told."""
    visit = Visit(CORRIDOR).go_to("clear")
    visit.type("wedged open")
    visit.go_to("seals")
    said = visit.type("it's wedged open")
    assert said[0] == "Doorway: wedged open. I have that already." and len(said) == 2
    assert visit.turn.enter == () and visit.check.open == "seals" and visit.check.misses == 0
    assert faults(visit, "clear") == ["wedged"]


def test_told_again_before_signing_it_asks_to_sign_again() -> None:
    visit = Visit(CORRIDOR).go_to("clear")
    visit.type("wedged open")
    visit.go_to(None)
    said = visit.type("it's wedged open")
    assert (
        visit.turn.enter == () and visit.check.stage is Stage.SUMMARY and "finish check" in said[-1]
    )


def test_the_danger_is_told_at_once_wherever_the_talk_stands() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("it's wedged open")
    assert any(line.startswith("ACT NOW.") for line in visit.said)


@pytest.mark.parametrize(
    "words", ["hinges all tight", "hinges fine", "hinges not loose", "loose", "hinges tightened"]
)
def test_no_pass_comes_in_that_way_and_nothing_that_does_not_name_its_part(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    visit.type("top hinge loose")
    visit.go_to("closer.full")
    visit.type(words)
    assert faults(visit, "hinges.fixings") == ["loose"]


def test_of_two_faces_it_is_read_back_which_is_meant() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert visit.type("frame damaged")[0] == "Frame, other side: damaged. Right?"
    visit.type("yes")
    assert faults(visit, "frame.beyond") == ["damaged"] and faults(visit, "frame.here") == []


@pytest.mark.parametrize(
    ("words", "key"),
    [("other side frame damaged", "frame.beyond"), ("this side frame damaged", "frame.here")],
)
def test_a_face_that_is_named_is_meant(words: str, key: str) -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    visit.type(words)
    assert faults(visit, key) == ["damaged"] and visit.check.stage is Stage.ASKING


def test_a_doubt_is_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert visit.type("I think the hinges are loose")[0].endswith("Right?")
    assert faults(visit, "hinges.fixings") == []


def test_it_is_taken_before_signing_too() -> None:
    visit = Visit(CORRIDOR).go_to(None)
    assert visit.check.stage is Stage.SUMMARY
    visit.type("hinges loose")
    assert faults(visit, "hinges.fixings") == ["loose"] and visit.check.stage is Stage.SUMMARY


@pytest.mark.parametrize("key", ["closer.full", None])
def test_the_engines_listen_for_it(key: str | None) -> None:
    now = expected_input(Visit(CORRIDOR).go_to(key).check)
    may_be_said = said_in(grammar_now(UNDERSTANDING, now))
    for words in (
        "it's wedged open",
        "top hinge loose",
        "two screws missing",
        "other side frame damaged",
    ):
        assert may_be_said.accepts(words.split())
        assert grammar_now(UNDERSTANDING, now).read(words).known
