"""Several parts asked about at once: what was named is answered, and nothing else passes."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from visits import (
    CHECKLIST,
    CORRIDOR,
    CUPBOARD,
    HELD_OPEN,
    NOON,
    PAIR,
    UNDERSTANDING,
    Visit,
    in_short,
)

from doorround.channels.talk.exchange import Incoming
from doorround.channels.talk.talk import Talk
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import start_check
from doorround.domain.check import Check, Stage
from doorround.domain.door import Door
from doorround.domain.findings import Verdict
from doorround.domain.judging.judge import verdict
from doorround.hearing.grammar.polarity import Polarity, polarity_of
from doorround.hearing.session.question_grammar import grammar_now
from doorround.logbook.store import Logbook

TESTED = HELD_OPEN.model_copy(update={"alarm_release": NOON.date()})
"""Held open, and seen to release at an alarm test."""

NATURAL = {
    "Locked when you came?": "it was locked",
    "Doorway clear?": "all clear",
    "Hold-open lets go?": "lets go",
    "Sign, frame, leaf and glass, this side?": "all sound",
    "Sign, frame, leaf, glass and glass mark, this side?": "all fine",
    "Sign, frame and leaf, this side?": "sign, frame and leaf fine",
    "Gap: at head and sides, and at the threshold?": "sides 3, threshold 3",
    "Latch and seals?": "latch works, seals fine",
    "Latch, seals and threshold seal?": "latch works, seals fine, threshold seal touches the floor",
    "Hinges: how many, and marked and tight?": "three, marked and tight",
    "Frame, leaf, glass and sign, other side?": "frame, leaf, glass and sign fine",
    "Frame and leaf, other side?": "both fine",
    "Closer: from fully open, and from 15 degrees?": "closes fully both times",
}
"""Each invitation, as somebody who knows the checks answers it in one breath."""


def at_batches(door: Door = CORRIDOR, until: str = "") -> Visit:
    """A visit of somebody who is asked about several parts at once."""
    visit = Visit(door)
    visit.turn = start_check("c1", door, "Robin", CHECKLIST, NOON, terse=True, batches=True)
    while until and visit.check.open != until:
        visit.type(NATURAL[visit.said[-1]])
    return visit


def passed(check: Check) -> set[str]:
    return {
        key
        for key, answer in check.answers.items()
        if verdict(answer.value, check.findings[key]) is Verdict.SOUND
    }


@pytest.mark.parametrize("door", [CORRIDOR, TESTED, CUPBOARD], ids=lambda each: each.number)
def test_a_known_door_that_is_all_sound_takes_at_most_nine_turns(door: Door) -> None:
    visit = at_batches(door)
    turns = 0
    while visit.check.stage is not Stage.SIGNED:
        summary = visit.check.stage is Stage.SUMMARY
        visit.type("finish check" if summary else NATURAL[visit.said[-1]])
        turns += 1
    assert turns <= 9
    assert passed(visit.check) == {each.key for each in CHECKLIST.for_door(door)}


def test_all_sound_passes_just_the_parts_of_the_invitation() -> None:
    visit = at_batches(until="sign.here")
    assert visit.turn.say[-1].taps == ("all sound",)
    visit.tap("all sound")
    assert passed(visit.check) == {"clear", "sign.here", "frame.here", "leaf.here", "glass.here"}
    assert visit.said[0].startswith("Sign, this side: sound. Frame, this side: sound.")


PARTS = ("sign", "frame", "leaf", "glass")
FAULTS = {"sign": "missing", "frame": "split", "leaf": "split", "glass": "cracked"}


@given(some.lists(some.sampled_from(PARTS), unique=True, min_size=1), some.data())
@settings(max_examples=60, deadline=None)
def test_no_part_passes_that_was_not_named(named: list[str], data: some.DataObject) -> None:
    wrong = data.draw(some.sets(some.sampled_from(named)))
    visit = at_batches(until="sign.here")
    visit.type(", ".join(f"{each} {FAULTS[each] if each in wrong else 'fine'}" for each in named))
    sound = {f"{each}.here" for each in named if each not in wrong}
    assert passed(visit.check) - {"clear"} <= sound
    if visit.check.stage is Stage.ASKING and visit.check.answers.keys() > {"clear"}:
        assert passed(visit.check) - {"clear"} == sound
        assert {f"{each}.here" for each in wrong} <= visit.check.answers.keys()


@pytest.mark.parametrize("words", ["fine", "undamaged", "okay", "no damage"])
def test_a_bare_pass_waits_for_a_yes_to_the_parts_it_may_be_of(words: str) -> None:
    visit = at_batches(until="frame.beyond")
    before = passed(visit.check)
    visit.type(words)
    assert visit.check.stage is Stage.CONFIRMING and passed(visit.check) == before
    assert visit.said[-1].startswith("Frame, other side: sound; Leaf, other side: sound")
    asked = {said.question for said in visit.check.pending.said} if visit.check.pending else set()
    visit.type("yes")
    assert passed(visit.check) - before == asked


def test_a_bare_pass_said_again_to_its_read_back_is_no_yes() -> None:
    visit = at_batches(until="frame.beyond")
    visit.type("undamaged", "undamaged")
    assert visit.said[-1].startswith("Tap or say yes or no: Frame, other side: sound; Leaf")
    visit.type("undamaged")
    assert {key for key in passed(visit.check) if key.endswith("beyond")} <= {"frame.beyond"}


def test_a_bare_fault_is_read_back_with_its_part_and_then_asked_alone() -> None:
    visit = at_batches(until="frame.beyond")
    assert visit.type("split") == ["Frame, other side: split. Right?"]
    said = visit.type("no")
    assert said[0] == "Not that, then."
    assert said[1].startswith("Go through. Other side, frame all round")
    assert "frame.beyond" not in visit.check.answers


def test_words_that_fit_one_part_alone_are_of_that_one() -> None:
    visit = at_batches(until="sign.here")
    visit.type("right and readable")
    assert passed(visit.check) == {"clear", "sign.here"}
    assert visit.said == ["Sign: sound.", "Frame, leaf and glass, this side?"]


def test_a_test_of_function_is_not_passed_by_all_sound() -> None:
    visit = at_batches(until="closer.full")
    visit.type("all sound")
    assert visit.check.stage is Stage.CONFIRMING and "closer.full" not in visit.check.answers


def test_both_is_no_answer_about_four_parts() -> None:
    visit = at_batches(until="sign.here")
    visit.type("both fine")
    assert passed(visit.check) == {"clear"}


def test_help_asks_about_the_same_parts_once_more() -> None:
    visit = at_batches(until="sign.here")
    assert visit.type("help")[-1] == "Sign, frame, leaf and glass, this side?"


def test_a_bare_gap_is_read_back_with_its_place() -> None:
    visit = at_batches(until="gaps.sides")
    assert visit.type("3") == ["Gap at head and sides: 3 mm. Right?"]


def test_where_a_fault_was_found_before_the_part_is_asked_about_alone() -> None:
    visit = Visit(CORRIDOR)
    visit.turn = start_check(
        "c1", CORRIDOR, "Robin", CHECKLIST, NOON, terse=True, batches=True, faulty=("leaf.here",)
    )
    visit.type("all clear")
    assert visit.said[-1] == "Sign and frame, this side?"
    visit.type("all sound")
    assert visit.said[-1] == "Leaf, this side?"


def test_an_engine_weighs_all_sound_as_a_pass_of_what_was_asked_about() -> None:
    expected = expected_input(at_batches(until="sign.here").check)
    understood = UNDERSTANDING.words("all sound", expected)
    assert understood is not None
    assert [(each.question, in_short(each.value)) for each in understood.said] == [
        (key, "sound") for key in ("sign.here", "frame.here", "leaf.here", "glass.here")
    ]
    assert polarity_of(understood.said, expected) is Polarity.PASS
    assert grammar_now(UNDERSTANDING, expected).read("all sound").polarity is Polarity.PASS


def test_batches_begin_at_the_door_after_the_third_signature(tmp_path: Path) -> None:
    with Logbook.open(tmp_path / "logbook.db") as logbook:
        logbook.add_door(CORRIDOR, "Mona", NOON)
        asked = []
        for turn in range(4):
            talk = Talk("chat", "Robin", logbook, UNDERSTANDING, no_ear, tmp_path)
            talk.begin("12", CHECKLIST, NOON)
            said = talk.take(Incoming(f"{turn}a", text="all clear"), NOON).say
            asked.append(said[-1].text)
            for place, line in enumerate(("finish check", "finish check")):
                talk.take(Incoming(f"{turn}{place}", text=line), NOON)
    assert asked[0].startswith("Sign on this side")
    assert asked[1:3] == ["Sign, this side?"] * 2
    assert asked[3] == "Sign, frame, leaf and glass, this side?"


def no_ear() -> object:
    raise AssertionError("nothing is to be heard here")


def test_a_pass_of_a_part_not_named_is_no_yes_by_being_said_again() -> None:
    visit = at_batches(until="frame.beyond")
    before = passed(visit.check)
    visit.type("undamaged", "no damage", "no damage")
    assert passed(visit.check) - before <= {"frame.beyond"}


PAIRS = {
    "Doorway clear?": "all clear",
    "Sign, frame, first leaf, second leaf and glass, this side?": "all sound",
    "Gap: at head and sides, at head and sides of the second leaf, at the meeting edges, and at"
    " the threshold?": "sides 3, threshold 3",
    "Gap: at head and sides of the second leaf, and at the meeting edges?": "meeting gap 3",
    "Second leaf: widest gap, head and sides?": "3",
    "Latch of the first leaf, latch of the second leaf, seals of the first leaf and seals of the"
    " second leaf?": "latch works on both leaves, seals fine on both leaves",
    "Second leaf: latch and handle?": "works",
    "Hinges: how many, how many on the second leaf, marked and tight, and marked and tight there"
    " too?": "three, marked and tight, second leaf hinges three, marked and tight",
    "Frame, first leaf, second leaf, glass and sign, other side?": "all sound",
    "Closer: from fully open, the second leaf too, from 15 degrees, and the second leaf from there"
    " too?": "both leaves close fully both times",
    "Both leaves close in order?": "right order",
}
"""The same of a pair."""


def turns_of(door: Door, answers: dict[str, str]) -> int:
    """Turns of a door that is all sound, each invitation answered in one breath."""
    visit = at_batches(door)
    turns = 0
    while visit.check.stage is not Stage.SIGNED:
        summary = visit.check.stage is Stage.SUMMARY
        visit.type("finish check" if summary else answers[visit.said[-1]])
        turns += 1
    assert passed(visit.check) == {each.key for each in CHECKLIST.for_door(door)}
    return turns


def test_a_pair_that_is_all_sound_takes_fewer_turns_than_two_doors() -> None:
    assert turns_of(PAIR, PAIRS) < 2 * turns_of(CORRIDOR, NATURAL)


@pytest.mark.parametrize("words", ["closes fully both times", "closes fully"])
def test_which_leaf_closes_is_asked_where_it_is_not_said(words: str) -> None:
    visit = at_batches(PAIR)
    while visit.check.open != "closer.full":
        visit.type(PAIRS[visit.said[-1]])
    visit.type(words)
    assert "closer.full_second" not in visit.check.answers
