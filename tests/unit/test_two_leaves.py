"""A pair: what names no leaf is of the one asked about, else of the first; none passes unseen."""

from __future__ import annotations

import pytest
from own_words_typed import typed_on
from visits import CORRIDOR, MEASURED, PAIR, SIXTY, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Check
from doorround.domain.findings import Verdict
from doorround.domain.judging.judge import verdict


def sound(check: Check) -> set[str]:
    return {
        key
        for key, answer in check.answers.items()
        if verdict(answer.value, check.findings[key]) is Verdict.SOUND
    }


def test_a_pass_said_again_never_passes_the_second_leaf() -> None:
    visit = Visit(PAIR)
    visit.type("leaf fine", "leaf fine")
    assert visit.said[0] == "Leaf, this side, first leaf: sound. I have that already."
    visit.type("frame and leaf fine", "leaf fine, hinges marked and tight")
    visit.type("hinges marked and tight")
    assert not {key for key in sound(visit.check) if key.endswith("_second")}


def test_a_fault_said_again_stays_at_the_leaf_that_has_it() -> None:
    visit = Visit(PAIR)
    visit.type("leaf a hole in it", "leaf a hole in it")
    assert visit.said[0] == "Leaf, this side, first leaf: a hole in it. I have that already."
    assert visit.check.answers.keys() == {"leaf.here"}


def test_a_fault_of_the_second_leaf_said_again_is_not_entered_of_the_first_unasked() -> None:
    visit = Visit(PAIR).go_to("leaf.here")
    visit.type("skip", "leaf a hole in it")
    assert visit.meaning("leaf.here_second") == "hole" and visit.check.open == "glass.here"
    visit.type("leaf a hole in it")
    assert visit.said == ["Leaf, this side, first leaf: a hole in it. Right?"]
    visit.type("no", "first leaf a hole in it")
    assert visit.meaning("leaf.here") == "hole"


@pytest.mark.parametrize("words", ["the left leaf is split", "right leaf fine"])
def test_a_leaf_named_by_its_place_is_read_back_with_its_leaf(words: str) -> None:
    visit = Visit(PAIR).go_to("leaf.here")
    before = dict(visit.check.answers)
    [read_back] = typed_on(visit, words)
    assert read_back.startswith("Leaf, this side, first leaf: ") and read_back.endswith("Right?")
    assert visit.check.answers == before
    visit.type("no")
    assert visit.check.answers == before


def test_the_leaf_of_a_door_that_has_one_may_be_called_left_and_is_not_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    typed_on(visit, "the left leaf is split")
    assert visit.meaning("leaf.here") == "split, left"


@pytest.mark.parametrize(
    ("words", "keys"),
    [
        ("second leaf fine", {"leaf.here_second"}),
        ("the second leaf is warped", {"leaf.here_second"}),
        ("first leaf fine", {"leaf.here"}),
        ("both leaves fine", {"leaf.here", "leaf.here_second"}),
        ("leaf fine, second leaf fine", {"leaf.here", "leaf.here_second"}),
        ("second leaf split, first leaf fine", {"leaf.here", "leaf.here_second"}),
        ("frame and second leaf fine", {"frame.here", "leaf.here_second"}),
        (
            "frame, both leaves and glass fine",
            {"frame.here", "leaf.here", "leaf.here_second", "glass.here"},
        ),
        ("hinges on the second leaf marked and tight", {"hinges.fixings_second"}),
        (
            "second leaf hinges three, marked and tight",
            {"hinges.count_second", "hinges.fixings_second"},
        ),
        ("other side second leaf fine", {"leaf.beyond_second"}),
    ],
)
def test_a_leaf_that_is_named_is_answered(words: str, keys: set[str]) -> None:
    visit = Visit(PAIR)
    visit.type(words)
    assert visit.check.answers.keys() == keys, visit.said


def test_what_names_no_leaf_is_of_the_leaf_asked_about() -> None:
    visit = Visit(PAIR).go_to("hinges.fixings_second")
    visit.type("leaf split")
    assert visit.said == ["Leaf, this side, second leaf: split. Right?"]
    visit = Visit(PAIR).go_to("leaf.here_second")
    visit.type("hinges loose")
    assert visit.said[0] == "Hinges, second leaf: loose."


def test_a_late_fault_that_names_no_leaf_is_read_back_with_its_leaf() -> None:
    visit = Visit(PAIR).go_to("glass.here")
    visit.type("leaf split")
    assert visit.said == ["Leaf, this side, first leaf: split. Right?"]
    visit.type("no", "second leaf split")
    assert visit.meaning("leaf.here") == "sound"
    assert visit.meaning("leaf.here_second") == "split"


def test_a_door_of_one_leaf_has_no_second() -> None:
    visit = Visit(CORRIDOR)
    visit.type("second leaf fine")
    assert not visit.check.answers
    visit.type("leaf fine")
    assert visit.said[0] == "Leaf, this side: sound."


def test_three_millimetres_at_the_seals_are_no_width_of_a_strip() -> None:
    visit = Visit(SIXTY, checklist=MEASURED).go_to("seals")
    assert "seals.width" in {each.key for each in expected_input(visit.check).asked}
    visit.type("3 mm")
    assert "seals.width" not in visit.check.answers
    visit.type("strip 10 mm")
    assert visit.meaning("seals.width") == "10 mm"


@pytest.mark.parametrize(
    ("key", "words", "answered"),
    [
        ("closer.full", "first leaf closes fully", "closer.full"),
        ("closer.full", "the first leaf slams", "closer.full"),
        ("closer.full_second", "second leaf: closes fully", "closer.full_second"),
        ("latch_second", "second leaf won't latch", "latch_second"),
    ],
)
def test_the_leaf_may_be_named_before_what_it_does(key: str, words: str, answered: str) -> None:
    visit = Visit(PAIR).go_to(key)
    before = set(visit.check.answers)
    visit.type(words)
    assert set(visit.check.answers) - before == {answered}, visit.said


def test_what_the_other_leaf_does_is_read_back() -> None:
    visit = Visit(PAIR).go_to("closer.full")
    assert visit.type("second leaf closes fully")[0].endswith("Right?")
    visit.type("yes")
    assert visit.check.open == "closer.full" and "closer.full_second" in visit.check.answers


@pytest.mark.parametrize("words", ["leaf two split", "leaf 2 split", "leaf number two has a split"])
def test_leaf_two_is_the_second_leaf(words: str) -> None:
    visit = Visit(PAIR).go_to("leaf.here")
    visit.type(words)
    if visit.check.pending is None:
        typed_on(visit, words)
    assert visit.said == ["Leaf, this side, second leaf: split. Right?"]
    visit.type("yes")
    assert visit.check.answers.keys() & {"leaf.here", "leaf.here_second"} == {"leaf.here_second"}
    answer = visit.check.answers["leaf.here_second"]
    assert answer.heard == words and visit.meaning("leaf.here_second") == "split"


@pytest.mark.parametrize("words", ["leaf two split", "leaf 2 split"])
def test_leaf_two_of_a_single_leaf_is_read_back(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    typed_on(visit, words)
    assert "leaf.here" not in visit.check.answers
    assert visit.said == ["Leaf, this side: split. Right?"]


def test_two_splits_are_counted_and_name_no_leaf() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    typed_on(visit, "leaf two splits")
    assert visit.meaning("leaf.here") == "2 split"


@pytest.mark.parametrize(
    ("key", "words", "told"),
    [
        ("closer.full", "second one slams", {"closer.full_second": "slams"}),
        (
            "leaf.here",
            "first one's fine, second one's split",
            {"leaf.here": "sound", "leaf.here_second": "split"},
        ),
    ],
)
def test_the_second_one_is_the_second_leaf(key: str, words: str, told: dict[str, str]) -> None:
    visit = Visit(PAIR).go_to(key)
    typed_on(visit, words)
    visit.type("yes")
    assert {each: visit.meaning(each) for each in told} == told
