"""Two answers that contradict each other in one breath: neither is taken, and it is asked again."""

from __future__ import annotations

import pytest
from test_turn_recogniser import LOST, answers, hear
from visits import UNKNOWN, Visit, in_short, visit_at

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.input_result import Heard, OffGrammar
from doorround.messages.replying import TWO_ANSWERS

YES_NO_QUESTIONS = ("lock", "lock.escape", "lock.way_out", "mark", "alarm_release")
BOTH = (
    "yes no",
    "no yes",
    "Yes. No.",
    "no, yes",
    "yeah nope",
    "yes and no",
    "yes or no",
    "yes but no",
    "no wait, yes",
    "no sorry yes",
    "yes, I mean no",
    "yes no yes",
)


def read_back_of_a_split() -> Visit:
    visit = Visit().go_to("leaf.here")
    visit.type("i think it's split")
    assert visit.check.stage is Stage.CONFIRMING
    return visit


def read_back_of_a_pass() -> Visit:
    visit = Visit().go_to("leaf.here")
    visit.type("i think it's fine")
    assert visit.check.stage is Stage.CONFIRMING
    return visit


@pytest.mark.parametrize("text", BOTH)
@pytest.mark.parametrize("key", YES_NO_QUESTIONS)
def test_a_typed_yes_and_no_is_asked_again_at_every_yes_no_question(key: str, text: str) -> None:
    visit = visit_at(key)
    said = visit.type(text)
    assert visit.meaning(key) is None
    assert visit.check.open == key
    assert visit.check.stage is Stage.ASKING
    assert said[0] == TWO_ANSWERS


@pytest.mark.parametrize("text", BOTH)
def test_a_typed_yes_and_no_is_asked_again_at_a_read_back(text: str) -> None:
    for visit in (read_back_of_a_split(), read_back_of_a_pass()):
        said = visit.type(text)
        assert visit.check.stage is Stage.CONFIRMING
        assert visit.meaning("leaf.here") is None
        assert said[0].startswith(f"{TWO_ANSWERS} Tap or say yes or no: Leaf, this side: ")


def test_no_then_yes_at_the_read_back_of_a_yes_no_answer_is_no_correction() -> None:
    visit = visit_at("lock.way_out")
    visit.type("i think it was locked")
    assert visit.check.stage is Stage.CONFIRMING
    visit.type("no, yes")
    assert visit.check.stage is Stage.CONFIRMING
    assert visit.meaning("lock.way_out") is None


@pytest.mark.parametrize("text", BOTH)
def test_a_typed_yes_and_no_cancels_no_check(text: str) -> None:
    visit = Visit()
    visit.type("cancel check", text)
    assert visit.check.stage is Stage.CANCELLING


@pytest.mark.parametrize("text", BOTH)
def test_a_typed_yes_and_no_is_no_answer_of_what_a_door_has(text: str) -> None:
    visit = Visit(UNKNOWN).go_to("register.threshold")
    visit.type(text)
    assert visit.meaning("register.threshold") is None


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("lock", "yes, it was open"),
        ("lock", "yeah, it was open"),
        ("lock", "it was open, yes"),
        ("lock.way_out", "yes it was locked"),
        ("lock.way_out", "it was locked, yes"),
        ("lock.escape", "yes, neither"),
        ("mark", "yes, no mark"),
        ("mark", "yeah not marked"),
        ("alarm_release", "yes, stayed open"),
    ],
)
def test_yes_before_or_behind_words_that_say_no_is_read_back(key: str, text: str) -> None:
    visit = visit_at(key)
    visit.type(text)
    assert visit.meaning(key) is None
    assert visit.check.stage is Stage.CONFIRMING
    visit.type("yes")
    assert visit.meaning(key) == "no"


@pytest.mark.parametrize(
    ("key", "text", "means"),
    [
        ("lock", "yes, it was locked", "yes"),
        ("lock.way_out", "no, it was locked", "no"),
        ("mark", "no", "no"),
        ("mark", "yes yes", "yes"),
    ],
)
def test_what_agrees_is_taken_at_once(key: str, text: str, means: str) -> None:
    visit = visit_at(key)
    visit.type(text)
    assert visit.meaning(key) == means


@pytest.mark.parametrize("said", [("yes", "no"), ("no", "yes"), ("yes", "no", "yes")])
def test_a_spoken_yes_and_no_is_asked_again(said: tuple[str, ...]) -> None:
    for key in YES_NO_QUESTIONS:
        heard = hear(visit_at(key), *said)
        assert isinstance(heard, OffGrammar), key
        assert heard.advice == TWO_ANSWERS, key
    for visit in (read_back_of_a_split(), read_back_of_a_pass()):
        heard = hear(visit, *said)
        assert isinstance(heard, OffGrammar)
        visit.take(heard)
        assert visit.check.stage is Stage.CONFIRMING
        assert visit.meaning("leaf.here") is None
    visit = Visit()
    visit.type("cancel check")
    visit.take(hear(visit, *said))
    assert visit.check.stage is Stage.CANCELLING


@pytest.mark.parametrize(
    ("key", "said"),
    [
        ("lock", ("it was locked", "it was open")),
        ("lock", ("it was open", "it was locked")),
        ("lock.way_out", ("it was open", "it was locked")),
        ("lock.way_out", ("it was locked", "it was open")),
        ("lock.way_out", ("yes", "it was locked")),
        ("lock.escape", ("escape route", "neither")),
        ("mark", ("there is a mark", "no mark")),
        ("mark", ("no mark", "there is a mark")),
        ("alarm_release", ("saw it close", "stayed open")),
        ("alarm_release", ("stayed open", "saw it close")),
    ],
)
def test_spoken_answers_that_contradict_each_other_are_asked_again(
    key: str, said: tuple[str, ...]
) -> None:
    heard = hear(visit_at(key), *said)
    assert isinstance(heard, OffGrammar)
    assert heard.advice == TWO_ANSWERS


def test_what_else_was_said_beside_two_answers_is_kept() -> None:
    visit = visit_at("mark")
    heard = hear(visit, "there is a mark", "no mark", "leaf split")
    assert answers(heard) == [("leaf.here", "split")]
    visit.take(heard)
    assert visit.meaning("mark") is None
    assert visit.meaning("leaf.here") == "split"
    assert any("0:00" in line and "0:02" in line for line in visit.said)


def test_the_same_said_twice_is_one_answer() -> None:
    assert answers(hear(visit_at("mark"), "yes", "there is a mark")) == [("mark", "yes")]
    assert answers(hear(visit_at("mark"), "no", "no mark")) == [("mark", "no")]


def test_yes_and_a_fault_at_a_read_back_never_drops_the_fault() -> None:
    """ "Fine, right?" – "Yes … split." """
    visit = read_back_of_a_pass()
    visit.take(hear(visit, "yes", "split"))
    assert visit.meaning("leaf.here") == "split"


def test_yes_and_a_pass_at_the_read_back_of_a_fault_is_asked_again() -> None:
    visit = read_back_of_a_split()
    visit.take(hear(visit, "yes", "fine"))
    assert visit.check.stage is Stage.CONFIRMING
    assert visit.meaning("leaf.here") is None


def test_yes_and_the_same_at_a_read_back_is_a_yes() -> None:
    visit = read_back_of_a_split()
    visit.take(hear(visit, "yes", "split"))
    assert visit.meaning("leaf.here") == "split"
    visit = read_back_of_a_pass()
    visit.take(hear(visit, "yes", LOST))
    assert visit.meaning("leaf.here") is None


def test_no_and_another_answer_at_a_read_back_corrects_it() -> None:
    visit = read_back_of_a_split()
    heard = hear(visit, "no", "hole by the handle")
    assert isinstance(heard, Heard)
    visit.take(heard)
    assert visit.meaning("leaf.here") == "hole, by the handle"


def test_no_and_the_same_fault_at_its_read_back_is_not_lost() -> None:
    """ "Split, right?" – "No … split." """
    visit = read_back_of_a_split()
    visit.take(hear(visit, "no", "split"))
    assert visit.check.stage is Stage.CONFIRMING or visit.meaning("leaf.here") == "split"


def test_which_question_follows_is_not_answered_by_a_second_yes() -> None:
    """ "Escape route?" – "No … yes": no answer to whether it opens without a key, which nobody
    asked.
    """
    visit = visit_at("lock.escape")
    visit.take(hear(visit, "no", "yes"))
    assert not {"lock.escape", "lock.way_out"} & set(visit.check.answers)
    assert expected_input(visit.check).open is not None
    assert in_short(visit_at("lock.way_out").check.answers["lock.escape"].value)


@pytest.mark.parametrize(
    "words", ["closes but the latch doesn't go in", "closes fully, but latch won't catch"]
)
def test_a_test_of_function_passed_with_a_but_is_read_back(words: str) -> None:
    visit = visit_at("latch")
    visit.type("skip this")
    visit.go_to("closer.full").type(words)
    assert visit.check.stage is Stage.CONFIRMING
    assert "closer.full" not in visit.check.answers
