"""Typing the words of a button does what its tap does; and what was put right is taken at any
question.
"""

from __future__ import annotations

from typing import Any

import pytest
from visits import CHECKLIST, CORRIDOR, EVERYWHERE, NOON, PASSES, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.dialogue.turn_result import Turn
from doorround.domain.check import Check, Stage
from doorround.domain.input_result import By, Heard
from doorround.domain.judging.severity import Severity
from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.session.interpretation import typed
from doorround.hearing.session.question_grammar import grammar_now
from tests.whole import WHOLE


def turn_on(check: Check, words: str, by: By) -> Turn:
    heard = typed(UNDERSTANDING, words, expected_input(check), by)
    assert isinstance(heard, Heard), (words, check.open, check.stage)
    return take_turn(check, heard, NOON)


def bare(turn: Turn) -> Any:
    """A turn without how each answer came in, and in which letters."""
    kept = _unspelled(turn.check.model_dump(mode="json"))
    pending = {
        name: kept for name, kept in (kept["pending"] or {}).items() if name not in ("by", "words")
    }
    answers = {key: {**each, "by": "", "heard": ""} for key, each in kept["answers"].items()}
    reported = [each["heard"]["said"] for each in kept["reported"]]
    return {**kept, "answers": answers, "pending": pending, "reported": reported}, [
        prompt.text for prompt in turn.say
    ]


def _unspelled(kept: Any) -> Any:
    """Without the words as they came: "ALL CLEAR"."""
    if isinstance(kept, dict):
        return {
            name: _unspelled(each)
            for name, each in kept.items()
            if name not in ("verbatim", "phrase")
        }
    return [_unspelled(each) for each in kept] if isinstance(kept, list | tuple) else kept


def buttons(turn: Turn) -> list[str]:
    return [tap for prompt in turn.say for tap in prompt.taps]


def heard_first(place: int, key: str) -> bool:
    """Whether no visit before this one is asked the question under the same set of rules: the
    buttons are the same there, and only make test-whole tries them again.
    """
    checklist = EVERYWHERE[place][1]
    return not any(
        before.rules.key == checklist.rules.key and before.asks(before.ask(key), fire_door)
        for fire_door, before in EVERYWHERE[:place]
    )


@pytest.mark.parametrize(
    "place", range(len(EVERYWHERE)), ids=[f"{d.number}-{c.rules.key}" for d, c in EVERYWHERE]
)
def test_each_button_of_each_question_is_understood_when_typed_as_when_tapped(place: int) -> None:
    """And the buttons of what follows each tap: of a danger, of a read-back, of a question asked
    again.
    """
    fire_door, checklist = EVERYWHERE[place]
    visit = Visit(fire_door, checklist=checklist)
    tried = 0
    seen: set[tuple[str, ...]] = set()
    while visit.check.open is not None:
        for tap in buttons(visit.turn) if WHOLE or heard_first(place, visit.check.open) else ():
            tapped = turn_on(visit.check, tap, By.TAP)
            wanted = bare(tapped)
            for how in (tap, tap.upper(), f"{tap}."):
                typed_turn = turn_on(visit.check, how, By.TYPING)
                assert bare(typed_turn) == wanted, (visit.check.open, how)
            said = tuple(prompt.text for prompt in tapped.say)
            # the same question again, in the same words, after another pass of the same part
            if said in seen and not WHOLE:
                continue
            seen.add(said)
            for then in buttons(tapped):
                one, other = (turn_on(tapped.check, then, by) for by in (By.TYPING, By.TAP))
                assert bare(one) == bare(other), (visit.check.open, tap, then)
                tried += 1
        visit.type(PASSES[visit.check.open])
    assert tried > (50 if WHOLE or not place else 0)
    for tap in buttons(visit.turn):
        assert bare(turn_on(visit.check, tap, By.TYPING)) == bare(turn_on(visit.check, tap, By.TAP))


MENDABLE = [
    (each.component, each.name, each.mended or "") for each in CHECKLIST.defect if each.mended
]
TOLD = {
    "clear.wedged": "wedged open",
    "clear.propped": "propped open",
    "clear.stored": "boxes against it",
    "clear.fixed": "hooked open",
    "clear.locked": "locked",
    "sign.missing": "no sign",
    "sign.wrong": "wrong sign",
    "sign.damaged": "damaged",
    "leaf.hardware": "added hardware",
    "latch.loose": "handle loose",
    "hinges.screw_missing": "screw missing",
    "hinges.screw_loose": "screws loose",
    "closer.loose": "closer loose",
}


@pytest.mark.parametrize("later", ["frame.here", "seals", "frame.beyond", "closer.full", None])
@pytest.mark.parametrize("no", ["", "no, ", "I "])
@pytest.mark.parametrize(("component", "name", "mended"), MENDABLE)
def test_that_a_fault_was_put_right_is_taken_answers_later(
    component: str, name: str, mended: str, no: str, later: str | None
) -> None:
    key = next(
        each.key
        for each in CHECKLIST.question
        if each.component == component and each.kind == "condition"
    )
    visit = Visit(CORRIDOR).go_to(key)
    visit.type(TOLD[f"{component}.{name}"])
    if (
        name == "locked"
    ):  # it is always read back: a door may be locked to those who come and not to those who leave
        visit.type("yes")
    at_once = CHECKLIST.fault(component, name).severity is Severity.ACT_NOW
    assert f"no, {mended}" in buttons(visit.turn) or not at_once
    try:
        visit.go_to(later)
    except AssertionError:
        return  # asked before this fault
    said = visit.type(no + mended)
    assert said[0].endswith("made good on the spot. Right?")
    visit.type("yes")
    assert visit.meaning(key) == f"made good, {name}" and visit.check.open == later


@pytest.mark.parametrize(
    "words",
    [
        "took the wedge out",
        "wedge removed",
        "the wedge removed",
        "removed the wedge",
        "I've removed the wedge",
        "took out the wedge",
        "moved the wedge away",
        "no, took the wedge out",
        "wedge taken away",
        "took a wedge out",
    ],
)
def test_the_wedge_is_taken_out_in_many_words(words: str) -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open", "right and readable", words, "yes")
    assert visit.meaning("clear") == "made good, wedged" and visit.check.open == "frame.here"


def test_what_was_put_right_leaves_the_other_faults_standing() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open and boxes in the way")
    assert visit.meaning("clear") == "wedged; stored"
    visit.type("no, took the wedge out", "yes")
    assert visit.meaning("clear") == "made good, wedged; stored"
    visit.type("moved the boxes", "yes")
    assert visit.meaning("clear") == "made good, wedged; made good, stored"


def test_the_chair_that_propped_it_is_moved_away() -> None:
    visit = Visit(CORRIDOR)
    visit.type("propped with a chair", "right and readable", "moved the chair", "yes")
    assert visit.meaning("clear") == "made good, propped"


def test_it_is_taken_before_signing_and_the_door_is_no_longer_out_of_action() -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open")
    visit.all_well()
    assert "out of action" in visit.said[-1]
    visit.type("wedge removed", "yes")
    assert visit.check.stage is Stage.SUMMARY and "out of action" not in visit.said[-1]


@pytest.mark.parametrize("words", ["took the wedge out", "tightened it"])
def test_nothing_is_put_right_that_was_not_told(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type(words)
    assert visit.meaning("clear") == "sound" and visit.check.stage is Stage.ASKING


@pytest.mark.parametrize("key", ["seals", "closer.full", None])
def test_the_engines_listen_for_it_as_long_as_the_fault_stands(key: str | None) -> None:
    visit = Visit(CORRIDOR)
    visit.type("wedged open")
    visit.go_to(key) if key else visit.all_well()
    for words in ("took the wedge out", "no took the wedge out", "the wedge removed"):
        now = expected_input(visit.check)
        assert said_in(grammar_now(UNDERSTANDING, now)).accepts(words.split())
        assert grammar_now(UNDERSTANDING, now).read(words).known
    visit.type("wedge removed", "yes")
    assert expected_input(visit.check).mendable == ()
