"""What people say around an answer: fillers change nothing, hedges have it read back."""

from __future__ import annotations

import pytest
from visits import (
    BOOK,
    CORRIDOR,
    UNKNOWN,
    Visit,
    at,
    understood,
    visit_at,
)

FILLERS = sorted(BOOK.phrases("filler.noise"))
HEDGES = sorted(BOOK.phrases("filler.hedge"))


@pytest.mark.parametrize("filler", FILLERS)
def test_what_people_say_around_an_answer_changes_nothing(filler: str) -> None:
    assert understood(f"{filler} all clear", at("clear")) == [("clear", "sound")]
    assert understood(f"{filler} wedged {filler}", at("clear")) == [("clear", "wedged")]


def test_now_is_no_filler_since_it_is_one_letter_from_not() -> None:
    assert not [each for each in (*FILLERS, *HEDGES) if "now" in each.split()]
    assert understood("not now", at("frame.here")) == [(None, "do another door")]
    assert understood("now tight", at("hinges.fixings")) is None
    assert understood("now firm", at("frame.here")) is None


@pytest.mark.parametrize("hedge", HEDGES)
def test_a_hedged_answer_is_read_back_whatever_it_says(hedge: str) -> None:
    for phrase, words in (
        ("all clear", "Doorway: sound. Right?"),
        ("wedged", "Doorway: wedged open. Right?"),
    ):
        visit = Visit()
        assert visit.type(f"{hedge} {phrase}") == [words]
        assert visit.meaning("clear") is None


def test_about_is_a_hedge_of_a_measure() -> None:
    visit = Visit().go_to("gaps.sides")
    assert visit.type("about four") == ["Gap at head and sides: 4 mm. Right?"]


@pytest.mark.parametrize(
    ("said", "counted"), [("seven", 7), ("six hinges", 6), ("hinges eight", 8), ("three hinge", 3)]
)
def test_more_hinges_than_doors_have_or_three_hinge_are_read_back(said: str, counted: int) -> None:
    """Doors have two to five hinges (common practice, no source). In pink noise of 5 dB, "three
    eighths of an inch" was heard as "three eighths, seven hinge", and both were entered.
    """
    visit = Visit().go_to("hinges.count")
    assert visit.type(said) == [f"Hinges counted: {counted}. Right?"]
    assert visit.meaning("hinges.count") is None


@pytest.mark.parametrize(
    ("said", "counted"), [("two", 2), ("five hinges", 5), ("one hinge", 1), ("hinges three", 3)]
)
def test_as_many_hinges_as_doors_have_are_taken(said: str, counted: int) -> None:
    visit = Visit(UNKNOWN).go_to("hinges.count")
    visit.type(said)
    assert visit.meaning("hinges.count") == str(counted)


@pytest.mark.parametrize("key", ["frame.here", "leaf.here", "glass.here"])
def test_whole_sounds_like_hole_and_so_is_read_back(key: str) -> None:
    visit = Visit().go_to(key)
    visit.type("whole")
    assert visit.meaning(key) is None
    assert visit.said[0].endswith("sound. Right?")
    visit.type("no", "hole")
    assert visit.meaning(key) == "hole"


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("closer.full", "closes fully?"),
        ("frame.here", "undamaged and firm ?"),
        ("mark", "yes?"),
        ("hinges.fixings", "“all tight?”"),
    ],
)
def test_what_is_asked_passes_nothing_unconfirmed(key: str, words: str) -> None:
    visit = visit_at(key)
    visit.type(words)
    assert key not in visit.check.answers


@pytest.mark.parametrize("words", ["yes?", "aye?", "correct?"])
def test_a_yes_that_asks_confirms_nothing(words: str) -> None:
    visit = visit_at("frame.here")
    visit.type("I think it's fine", words)
    assert "frame.here" not in visit.check.answers


def test_a_fault_is_taken_where_it_is_asked_too() -> None:
    visit = visit_at("frame.here")
    visit.type("split?")
    assert visit.meaning("frame.here") == "split"


def test_a_pass_that_trails_off_is_read_back_and_a_fault_is_entered() -> None:
    for words in ("fine...", "fine …", "undamaged and firm.."):
        visit = Visit(CORRIDOR).go_to("frame.here")
        assert visit.type(words) == ["Frame, this side: sound. Right?"], words
        assert visit.meaning("frame.here") is None
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("split...")
    assert visit.meaning("frame.here") == "split"
