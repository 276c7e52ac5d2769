"""Several answers in one breath, the part carried forward, both faces, corrections; and what is no
answer at all.
"""

from __future__ import annotations

import pytest
from visits import (
    CUPBOARD,
    HELD_OPEN,
    UNDERSTANDING,
    UNKNOWN,
    Visit,
    understood,
)

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.domain.check import Stage
from doorround.domain.input_result import By, Heard
from doorround.domain.values import Command
from doorround.hearing.session.interpretation import typed


def at(key: str, fire_door: object = HELD_OPEN) -> ExpectedInput:
    """A visit that stands at this question, everything before it answered."""
    return expected_input(Visit(fire_door).go_to(key).check)  # type: ignore[arg-type]


# ---- Several answers in one breath


def test_several_answers_in_one_breath_fill_several_questions() -> None:
    assert understood("seals fine, three hinges all tight, closer slams", at("seals")) == [
        ("seals", "sound"),
        ("hinges.count", "3"),
        ("hinges.fixings", "sound"),
        ("closer.full", "slams"),
    ]


def test_the_open_question_needs_no_name_in_the_first_answer_of_a_breath() -> None:
    assert understood("all clear, frame split", at("clear")) == [
        ("clear", "sound"),
        ("frame.here", "split"),
    ]


def test_the_part_spoken_of_is_carried_forward() -> None:
    now = at("clear")
    assert understood("hinges three all tight", now) == [
        ("hinges.count", "3"),
        ("hinges.fixings", "sound"),
    ]
    assert understood("three hinges two screws missing", now) == [
        ("hinges.count", "3"),
        ("hinges.fixings", "2 screw_missing"),
    ]


def test_what_answers_the_question_that_is_asked_answers_no_later_one() -> None:
    """Both are a missing closer; asked what closer there is, "there's no closer" is a fact for the
    register.
    """
    checklist = load_checklist("routine")
    others = tuple(question for question in checklist.question if question.key != "register.closer")
    now = ExpectedInput(
        Stage.ASKING, checklist.ask("register.closer"), others, parts=checklist.question
    )
    for words in ("no closer", "there's no closer", "there is no closer"):
        assert understood(words, now) == [("register.closer", "is none")]
    assert understood("there's no closer", at("closer.full")) == [("closer.full", "missing")]


@pytest.mark.parametrize(
    ("words", "means"),
    [
        ("the closer slams", [("closer.full", "slams")]),
        ("the hinges are loose", [("hinges.fixings", "loose")]),
        ("the top hinge is loose", [("hinges.fixings", "loose, top hinge")]),
        ("the frame and the leaf are fine", [("frame.here", "sound"), ("leaf.here", "sound")]),
        ("the frame is fine the leaf is fine", [("frame.here", "sound"), ("leaf.here", "sound")]),
    ],
)
def test_a_part_may_be_named_as_people_talk_of_it(words: str, means: list[tuple[str, str]]) -> None:
    assert understood(words, at("sign.here")) == means


def test_fillers_between_answers_are_passed_over() -> None:
    said = understood("er well all clear and then um frame fine thanks", at("clear"))
    assert said == [("clear", "sound"), ("frame.here", "sound")]


def test_two_faults_of_one_part_become_one_answer_with_both() -> None:
    assert understood("painted at the top, loose on the lock side", at("seals")) == [
        ("seals", "painted, top; loose, lock side")
    ]


def test_a_fault_after_a_pass_of_the_same_part_is_what_counts() -> None:
    assert understood("no damage, hole by the handle", at("leaf.here")) == [
        ("leaf.here", "hole, by the handle")
    ]


def test_a_pass_after_a_fault_of_the_same_part_takes_nothing_back() -> None:
    assert understood("cracked, fine", at("glass.here")) is None


def test_what_the_register_knows_is_not_asked_by_naming() -> None:
    assert understood("no damage timber", at("leaf.here")) is None


def test_register_questions_may_follow_one_another_in_a_breath() -> None:
    now = at("register.use", UNKNOWN)
    assert understood("corridor, thirty with smoke, one leaf, timber", now) == [
        ("register.use", "is corridor in constant use"),
        ("register.rating", "is FD30S"),
        ("register.leaves", "is one"),
        ("register.material", "is timber"),
    ]
    assert understood("926 2040", at("register.width", UNKNOWN)) == [
        ("register.width", "926 mm"),
        ("register.height", "2040 mm"),
    ]


# ---- Both faces, both tests: what is said of one never passes the


@pytest.mark.parametrize(
    ("key", "phrase"),
    [
        ("frame.here", "whole and firm"),
        ("frame.here", "fine, all good"),
        ("frame.here", "solid and firm, no cracks"),
        ("leaf.here", "no damage no holes"),
        ("glass.here", "no cracks, beading firm"),
        ("sign.here", "right, readable"),
        ("closer.full", "closes by itself, closes fully"),
        ("closer.full", "fine, closes and latches"),
    ],
)
def test_a_pass_said_twice_passes_one_face_and_one_test_only(key: str, phrase: str) -> None:
    said = understood(phrase, at(key))
    assert said == [(key, "sound")]


def test_a_part_named_twice_passes_one_face_only() -> None:
    assert understood("frame fine frame fine", at("frame.here")) is None
    assert understood("closer fine closer fine", at("closer.full")) is None


def test_two_numbers_are_not_taken_for_two_gaps() -> None:
    assert understood("three, four", at("gaps.sides")) is None
    assert understood("gap three gap four", at("clear")) is None


def test_the_other_side_is_passed_only_when_it_is_named() -> None:
    now = at("frame.here")
    assert understood("frame fine, frame other side fine", now) == [
        ("frame.here", "sound"),
        ("frame.beyond", "sound"),
    ]
    assert understood("other side frame split", now) == [("frame.beyond", "split")]
    assert understood("frame on the other side split top left", now) == [
        ("frame.beyond", "split, top left")
    ]
    assert understood("both sides fine", now) is None
    assert understood("fine both sides", now) == [
        ("frame.here", "sound"),
        ("frame.beyond", "sound"),
    ]
    assert understood("both sides frame fine", now) == [
        ("frame.here", "sound"),
        ("frame.beyond", "sound"),
    ]


def test_words_that_may_mean_one_face_or_both_are_taken_for_one() -> None:
    assert understood("fine, other side fine", at("frame.here")) == [("frame.beyond", "sound")]


def test_the_other_side_said_again_never_passes_this_side() -> None:
    visit = Visit().go_to("frame.here")
    visit.type("frame other side fine", "yes", "fine other side")
    assert visit.meaning("frame.beyond") == "sound"
    assert visit.meaning("frame.here") is None


def test_a_sign_on_one_face_only_has_no_other_side() -> None:
    assert understood("right other side", at("sign.here", CUPBOARD)) is None


def test_within_one_recording_the_next_piece_may_add_to_a_face_but_not_pass_the_other() -> None:
    after = at("leaf.here").after(("leaf.here",))
    assert understood("no holes", after) == [("leaf.here", "sound")]
    assert understood("hole by the handle", after) == [("leaf.here", "hole, by the handle")]
    assert understood("leaf fine other side", after) == [("leaf.beyond", "sound")]
    further = at("frame.here").after(("frame.here",)).after(("leaf.here",))
    assert understood("frame fine", further) == [("frame.here", "sound")]
    assert understood("frame fine other side", further) == [("frame.beyond", "sound")]
    gaps = at("gaps.sides").after(("gaps.sides",))
    assert understood("gap four", gaps) == [("gaps.sides", "4 mm")]
    assert understood("four", gaps) == [("gaps.sides", "4 mm")]
    closing = at("closer.full").after(("closer.full",))
    assert understood("closes fully", closing) == [("closer.full", "sound")]


def test_within_one_recording_the_next_question_of_the_part_may_follow_bare() -> None:
    after = at("hinges.count").after(("hinges.count",))
    assert understood("all tight", after) == [("hinges.fixings", "sound")]
    assert understood("closer slams", after) == [("closer.full", "slams")]
    assert understood("slams", after) is None


# ---- Corrections


def test_no_and_an_answer_corrects_what_was_answered_last() -> None:
    now = at("hinges.fixings")
    assert understood("no, two", now) == [("hinges.count", "2")]
    assert understood("sorry four", now) == [("hinges.count", "4")]
    assert understood("I mean hinges two", now) == [("hinges.count", "2")]
    corrected = UNDERSTANDING.words("no, two", now)
    assert corrected is not None and corrected.said[0].correction


def test_no_that_belongs_to_an_answer_is_no_correction() -> None:
    said = UNDERSTANDING.words("no loose screws", at("hinges.fixings"))
    assert said is not None and not said.said[0].correction
    assert understood("no mark", at("hinges.fixings")) == [("hinges.fixings", "unmarked")]


def test_only_the_last_turn_can_be_corrected_so() -> None:
    assert understood("no, two", at("frame.beyond")) is None


def test_a_correction_that_would_pass_a_part_is_read_back_first() -> None:
    visit = Visit().go_to("closer.full")
    visit.type("slams")
    assert visit.type("no, closes fully") == [CLOSES]
    assert visit.meaning("closer.full") == "slams"
    visit.type("yes")
    assert visit.meaning("closer.full") == "sound"


CLOSES = "Closer from fully open: closes by itself, all the way, without slamming. Right?"


@pytest.mark.parametrize("phrase", ["no seals in place", "no in place", "no, all there"])
def test_no_before_a_pass_may_deny_it_and_so_passes_nothing_at_once(phrase: str) -> None:
    visit = Visit().go_to("seals")
    visit.type("painted", phrase)
    assert visit.meaning("seals") == "painted"


def test_a_note_keeps_its_words_as_they_were_typed() -> None:
    for text in (
        "note Smells of GAS, 2nd floor",
        "Note: Smells of GAS, 2nd floor",
        "note:Smells of GAS, 2nd floor",
    ):
        understood_ = UNDERSTANDING.words(text, at("clear"))
        assert understood_ is not None
        means = understood_.said[0].value
        assert isinstance(means, Command) and means.text == "Smells of GAS, 2nd floor"


def test_typing_keeps_the_words_and_how_they_came() -> None:
    heard = typed(UNDERSTANDING, "  Wedged! ", at("clear"), By.TAP)
    assert isinstance(heard, Heard)
    assert (heard.words, heard.by, heard.engine, heard.probability) == (
        "Wedged!",
        By.TAP,
        "typed",
        1.0,
    )
