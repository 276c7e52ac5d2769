"""A word that fits the question just left and the new one alike is asked about."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, Visit

from doorround.domain.check import Stage
from doorround.domain.input_result import By


def at_leaf(*lines: str) -> Visit:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type(*lines)
    return visit


@pytest.mark.parametrize("words", ["no, split", "sorry, split", "I mean, damaged", "wait, split"])
def test_it_is_asked_for_which_part_and_nothing_is_entered(words: str) -> None:
    visit = at_leaf(words)
    last = visit.turn.say[-1]
    assert last.text == f"“{words}”: for “Frame, this side”, or for “Leaf, this side”?"
    assert last.taps[:2] == tuple(
        f"{part}, this side: {words.split()[-1]}" for part in ("Frame", "Leaf")
    )
    assert visit.meaning("frame.here") == "sound" and visit.meaning("leaf.here") is None


def test_the_part_just_left_is_corrected_and_the_open_question_is_asked_again() -> None:
    visit = at_leaf("no, split")
    visit.tap("Frame, this side: split")
    assert visit.meaning("frame.here") == "split"
    assert visit.check.open == "leaf.here" and visit.check.unread == ()
    visit.type("no damage")
    assert visit.meaning("leaf.here") == "sound" and visit.check.reported == ()


def test_or_the_part_asked_about_has_it() -> None:
    visit = at_leaf("no, split")
    visit.tap("Leaf, this side: split")
    assert (visit.meaning("frame.here"), visit.meaning("leaf.here")) == ("sound", "split")
    assert visit.check.open == "glass.here"


def test_whoever_answers_neither_way_has_it_reported() -> None:
    visit = at_leaf("no, split", "no damage")
    assert visit.check.stage is Stage.CONFIRMING  # a pass that would deny what was not read
    visit.type("skip")
    assert visit.check.answers.get("leaf.here") is None
    assert [each.heard.words for each in visit.check.reported] == ["no, split"]


def test_what_fits_only_the_part_just_left_is_read_back_for_it() -> None:
    visit = Visit(CORRIDOR).go_to("glass.here")
    visit.type("no, warped")
    assert visit.said[-1] == "Leaf, this side: warped. Right?"
    visit.type("yes")
    assert visit.meaning("leaf.here") == "warped" and visit.check.open == "glass.here"


def test_without_the_comma_it_denies_the_fault_of_the_part_asked_about() -> None:
    assert (
        at_leaf("no split").said[-1] == "Leaf, this side: no split, and nothing else wrong. Right?"
    )


def test_a_fault_without_a_no_goes_to_the_part_asked_about() -> None:
    visit = at_leaf("split")
    assert (visit.meaning("frame.here"), visit.meaning("leaf.here")) == ("sound", "split")


def test_a_part_that_is_named_is_meant() -> None:
    visit = at_leaf("no, frame split")
    assert visit.meaning("frame.here") == "split" or visit.said[-1].startswith("Frame, this side")
    assert visit.meaning("leaf.here") is None


def test_a_number_is_never_put_to_another_question() -> None:
    visit = Visit(CORRIDOR).go_to("hinges.fixings")
    visit.type("two")
    assert visit.meaning("hinges.count") == "3" and visit.check.open == "hinges.fixings"


def test_a_message_by_tap_is_of_the_question_it_stood_under() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.tap("split")
    assert visit.check.answers["leaf.here"].by is By.TAP
