"""Words that no rule reads, as the talk goes on: of which part they are, and when they are asked
about.
"""

from __future__ import annotations

import pytest
from own_words_typed import typed_on
from visits import CORRIDOR, NOON, UNKNOWN, Visit

from doorround.dialogue.left_waiting import leave_waiting
from doorround.domain.check import Stage
from doorround.domain.input_result import By, OffGrammar
from doorround.domain.values import Condition


def test_words_typed_at_an_earlier_read_back_outlive_a_yes_before_the_signature() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe damaged")
    visit.take(OffGrammar(by=By.TYPING, words="something rattles"))
    visit.type("finish check", "yes")
    assert visit.meaning("frame.here") == "damaged"
    visit.type("glass cracked")
    assert "“something rattles”" in visit.type("finish check")[0]


@pytest.mark.parametrize("words", ["glass cracked", "maybe glass cracked"])
def test_what_is_told_at_the_summary_leads_back_to_it(words: str) -> None:
    """Nobody asked for the rest: that is what "carry on" is for."""
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("finish check", words)
    if visit.check.stage is Stage.CONFIRMING:
        visit.type("yes")
    assert visit.check.stage is Stage.SUMMARY and visit.meaning("glass.here") == "cracked"
    assert visit.turn.say[-1].taps == ("finish check", "carry on", "go back")
    visit.type("carry on")
    assert visit.check.open == "frame.here"


def test_a_question_to_the_bot_is_not_reported_as_a_fault() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.take(OffGrammar(by=By.TYPING, words="what do you want me to do"))
    visit.type("skip")
    assert visit.check.reported == ()


@pytest.mark.parametrize(
    ("words", "question"),
    [
        ("chunk missing out the frame by the keep", "frame.here"),
        ("the hinge has a wobble on it", "hinges.fixings"),
        ("it has gone all manky", "gaps.sides"),
        ("between the frame and the leaf it's rough", "gaps.sides"),
        ("it's gone all rough down the hinge side", "gaps.sides"),
    ],
)
def test_words_at_a_measure_are_reported_of_the_one_part_that_they_name(
    words: str, question: str
) -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    visit.take(OffGrammar(by=By.TYPING, words=words))
    visit.type("skip")
    assert [each.question for each in visit.check.reported] == [question]
    visit.go_to("hinges.count" if question == "hinges.fixings" else "latch")
    visit.type("finish check", "yes")
    answer = visit.check.answers[question]
    assert isinstance(answer.value, Condition)
    assert [each.words for each in answer.value.defects] == [words]


WOBBLE = "the hinge has a wobble on it"


@pytest.mark.parametrize("left_for_a_while", [True, False])
def test_words_of_another_part_outlive_the_answer_to_a_measure(left_for_a_while: bool) -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    visit.take(OffGrammar(by=By.TYPING, words=WOBBLE))
    if left_for_a_while:
        visit.turn = leave_waiting(visit.check, NOON, NOON)
    visit.type("3")
    assert "gaps.sides" in visit.check.answers
    assert [(each.question, each.heard.words) for each in visit.check.reported] == [
        ("hinges.fixings", WOBBLE)
    ]


def test_words_of_the_part_itself_are_answered_by_its_answer() -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    visit.take(OffGrammar(by=By.TYPING, words="it has gone all manky"))
    visit.type("3")
    assert visit.check.reported == () and visit.check.unread == ()


def test_words_at_the_summary_are_kept_while_nothing_is_entered_in_their_place() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("finish check", "glass cracked")
    visit.take(OffGrammar(by=By.TYPING, words="something rattles"))
    visit.type("glass cracked")
    assert visit.check.unread_at_end == ("something rattles",)


def test_words_at_the_summary_are_reworded_only_by_an_answer_of_the_part_they_name() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("finish check")
    for words in ("the widget is knackered", "summat up with the glass"):
        visit.take(OffGrammar(by=By.TYPING, words=words))
    visit.type("glass cracked")
    assert visit.check.unread_at_end == ("the widget is knackered",)
    assert "“the widget is knackered”" in visit.type("finish check")[0]


def test_a_read_back_of_another_part_that_nobody_answers_puts_no_question_off() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("maybe glass fine")
    assert visit.check.stage is Stage.CONFIRMING
    for words in ("gone all manky", "lunch"):
        visit.take(OffGrammar(by=By.TYPING, words=words))
    assert visit.check.open == "leaf.here" and visit.check.put_off == ()
    assert visit.said[0] == (
        "Glass, this side: sound: I never got a yes or no, so it is not entered."
    )
    assert visit.check.misses == 0 and visit.turn.say[-1].taps


KICKED = "someone's kicked the door in"


@pytest.mark.parametrize("then", ["corridor", "skip"])
def test_a_fault_told_at_a_question_of_the_register_outlives_its_answer(then: str) -> None:
    visit = Visit(UNKNOWN)
    typed_on(visit, KICKED)
    assert visit.check.open == "register.use"
    visit.type(then)
    assert visit.check.open == "register.rating" and visit.check.unread == ()
    assert [(each.question, each.heard.words) for each in visit.check.reported] == [
        ("leaf.here", KICKED)
    ]
    assert f"“{KICKED}”" in visit.said[0]


def test_a_fault_told_at_a_measure_is_denied_by_no_figure() -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    typed_on(visit, "someone's booted it")
    visit.type("3")
    assert visit.meaning("gaps.sides") == "3 mm"
    assert [each.question for each in visit.check.reported] == ["leaf.here"]


@pytest.mark.parametrize("words", ["big gash down the front of it", "it's had a right hammering"])
def test_words_at_a_question_of_the_register_are_told_again_before_the_signature(
    words: str,
) -> None:
    visit = Visit(UNKNOWN)
    typed_on(visit, words)
    visit.type("corridor", "finish")
    assert f"“{words}”" in visit.type("finish")[0]
    assert visit.check.stage is Stage.SUMMARY


@pytest.mark.parametrize("words", ["sort of a hallway thing", "it's the passage to the bins"])
def test_words_near_to_the_answer_are_answered_by_it(words: str) -> None:
    visit = Visit(UNKNOWN)
    typed_on(visit, words)
    visit.type("corridor")
    assert visit.check.unread_at_end == () and visit.check.reported == ()


@pytest.mark.parametrize(
    ("key", "words", "answer"),
    [
        ("register.use", "office, and the door's been kicked in", "Use: office"),
        ("register.glazing", "wired, cracked", "Glass: wired"),
        ("hinges.count", "three but one's loose", "Hinges counted: 3"),
    ],
)
@pytest.mark.parametrize("tapped", [True, False])
def test_what_is_told_beside_a_fact_outlives_its_answer(
    key: str, words: str, answer: str, tapped: bool
) -> None:
    visit = Visit(UNKNOWN if key.startswith("register") else CORRIDOR).go_to(key)
    typed_on(visit, words)
    assert answer in visit.turn.say[-1].taps
    if tapped:
        visit.tap(answer)
        visit.type("yes")
    else:
        visit.type(answer.rpartition(": ")[2])
    assert key in visit.check.answers and visit.check.unread_at_end == (words,)


def test_a_fault_of_a_named_part_told_with_a_figure_is_reported_of_it() -> None:
    visit = Visit(CORRIDOR).go_to("gaps.sides")
    typed_on(visit, "4 and the frame is split")
    visit.tap("Gap at head and sides: 4 mm")
    visit.type("yes")
    assert visit.meaning("gaps.sides") == "4 mm"
    assert [each.question for each in visit.check.reported] == ["frame.here"]


@pytest.mark.parametrize("words", ["some sort of closer thing", "dorma thing"])
def test_the_part_that_a_fact_is_about_is_no_fault_by_being_named(words: str) -> None:
    visit = Visit(UNKNOWN).go_to("register.closer")
    typed_on(visit, words)
    visit.type("overhead")
    assert visit.check.reported == () and visit.check.unread_at_end == (words,)


def test_words_reported_of_a_part_stay_so_when_more_are_said_with_them() -> None:
    visit = Visit(UNKNOWN).go_to("register.rating")
    words = "sign is looking a bit rough"
    visit.take(OffGrammar(by=By.TYPING, words=words))
    visit.type("skip")
    assert visit.check.open == "register.leaves"
    for each in (words, "frame and leaf something else"):
        visit.take(OffGrammar(by=By.TYPING, words=each))
    assert [each.question for each in visit.check.reported] == ["sign.here"]


def test_words_reported_of_a_part_outlive_the_answer_to_a_fact_they_are_near_to() -> None:
    visit = Visit(UNKNOWN).go_to("register.screens")
    typed_on(visit, "no sign")
    visit.type("skip")
    assert [each.question for each in visit.check.reported] == ["sign.here"]
    visit.go_to("register.latch")
    typed_on(visit, "no sign")
    visit.type("latch")
    assert [each.question for each in visit.check.reported] == ["sign.here"]
