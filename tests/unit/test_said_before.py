"""What was answered already, said again: it moves nothing, and never answers for the side that
nobody looked at.
"""

from __future__ import annotations

import pytest
from visits import CORRIDOR, PASSES, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.input_result import By, Heard
from doorround.hearing.session.interpretation import typed


def moved_nothing(visit: Visit, *lines: str) -> list[str]:
    """What is said to some lines; nothing is entered and the talk stays where it was."""
    before = visit.check
    said = visit.type(*lines)
    assert (visit.check.answers, visit.check.open) == (before.answers, before.open)
    assert visit.check.misses == 0
    return said


@pytest.mark.parametrize(
    "words",
    [
        "frame undamaged and firm",
        "this side frame undamaged and firm",
        "frame fine",
        "and the frame is sound",
    ],
)
def test_a_pass_of_this_side_said_again_does_not_pass_the_other(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    assert moved_nothing(visit, words)[0] == "Frame, this side: sound. I have that already."


@pytest.mark.parametrize("key", ["leaf.here", "gaps.sides", "seals", "hinges.fixings"])
def test_so_it_is_wherever_one_stands_on_this_side(key: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    for words in ("frame undamaged and firm", "sign right and readable", "frame and sign fine"):
        moved_nothing(Visit(CORRIDOR).go_to(key), words) if words.startswith("frame u") else None
        visit.type(words)
        assert not any(other.endswith(".beyond") for other in visit.check.answers)


def test_a_pass_after_this_sides_sign_was_put_off_is_of_this_side() -> None:
    visit = Visit(CORRIDOR).go_to("sign.here")
    visit.type("skip", "sign okay")
    assert visit.meaning("sign.here") == "sound" and visit.meaning("sign.beyond") is None


@pytest.mark.parametrize("key", ["glass.here", "seals", "hinges.count"])
def test_a_late_fault_is_of_the_side_one_stands_before(key: str) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    said = visit.type("leaf has a hole")
    assert said[0] == "Leaf, this side: a hole in it."
    assert visit.meaning("leaf.here") == "hole" and visit.meaning("leaf.beyond") is None
    assert visit.check.open == key


def test_at_the_other_side_it_is_of_the_other_side() -> None:
    visit = Visit(CORRIDOR).go_to("glass.beyond")
    assert visit.type("leaf has a hole")[0] == "Leaf, other side: a hole in it."
    visit = Visit(CORRIDOR).go_to("frame.beyond")
    visit.type("leaf has a hole")
    assert visit.meaning("leaf.beyond") == "hole" and visit.meaning("leaf.here") == "sound"


def test_a_side_that_is_named_is_meant_from_wherever() -> None:
    visit = Visit(CORRIDOR).go_to("seals")
    visit.type("other side leaf split")
    assert visit.meaning("leaf.beyond") == "split"
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("other side frame fine, leaf damaged", "yes")
    assert visit.meaning("frame.beyond") == "sound" and visit.meaning("leaf.beyond") == "damaged"
    assert visit.meaning("leaf.here") is None
    visit = Visit(CORRIDOR).go_to("closer.full")
    visit.type("frame damaged both sides")
    assert visit.meaning("frame.here") == visit.meaning("frame.beyond") == "damaged"


def test_a_fault_is_not_taken_back_by_a_pass_in_passing() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("split")
    said = moved_nothing(visit, "frame undamaged and firm")
    assert (
        said[0]
        == "Frame, this side: you said split, and that stands. To change it, say change frame."
    )


@pytest.mark.parametrize(
    ("first", "again", "stands"),
    [
        ("closer closes fully", "closer closes fully", "closer.ajar"),
        ("gap 3", "gap 3", "gaps.threshold"),
        ("closer shuts fully", "closer shuts fully", "closer.ajar"),
    ],
)
def test_one_of_two_tests_or_gaps_said_again_does_not_answer_the_other(
    first: str, again: str, stands: str
) -> None:
    visit = Visit(CORRIDOR).go_to("clear")
    visit.type(first)
    said = moved_nothing(visit, again)
    assert said[0].endswith("I have that already.") and stands not in visit.check.answers


@pytest.mark.parametrize(
    "words",
    [
        "hinges marked and tight",
        "seals all there, undamaged, never painted",
        "three hinges",
        "latch works",
        "threshold gap 3",
    ],
)
def test_any_answer_said_again_is_so_already(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert moved_nothing(visit, words)[0].endswith("I have that already.")


def test_what_stands_otherwise_is_told_and_stays() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert "you said 3, and that stands" in moved_nothing(visit, "four hinges")[0]


def test_a_gap_too_wide_that_is_told_later_waits_for_a_yes() -> None:
    visit = Visit(CORRIDOR).go_to("closer.full")
    assert visit.type("threshold gap 12") == ["Gap at the threshold: 12 mm. Right?"]
    visit.type("yes")
    assert visit.meaning("gaps.threshold") == "12 mm" and visit.check.open == "closer.full"


def recording(visit: Visit, words: str, sha256: str) -> Heard:
    heard = typed(UNDERSTANDING, words, expected_input(visit.check), By.VOICE)
    assert isinstance(heard, Heard)
    return heard.model_copy(update={"audio_sha256": sha256})


@pytest.mark.parametrize("words", ["undamaged and firm", "frame undamaged and firm", "split"])
def test_a_recording_that_comes_twice_is_one_answer(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.take(recording(visit, words, "ab" * 32))
    before = visit.check
    said = visit.take(recording(visit, "undamaged", "ab" * 32))
    assert (
        visit.check.answers == before.answers
        and visit.check.open == "leaf.here"
        and visit.turn.enter == ()
    )
    assert said[0] == "I've already dealt with that recording. If you mean it again, say it again."
    visit.take(recording(visit, "undamaged", "cd" * 32))
    assert visit.meaning("leaf.here") == "sound"


def test_a_recording_sent_twice_is_no_yes_to_its_own_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.take(recording(visit, "I think undamaged", "ab" * 32))
    visit.take(recording(visit, "undamaged and firm", "ab" * 32))
    assert visit.meaning("frame.here") is None


def test_the_passes_of_the_round_answer_each_its_own_question() -> None:
    visit = Visit(CORRIDOR).all_well()
    assert {key for key in PASSES if key in visit.check.answers} == set(visit.check.answers)
