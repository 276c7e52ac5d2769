"""At a question of fact, words that do not answer it may report a fault or another fact: none of
them is lost, and none is entered without a yes or a tap.
"""

from __future__ import annotations

import pytest
from own_words_typed import typed_on
from visits import CHECKLIST, CORRIDOR, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.domain.check import Stage
from doorround.domain.door import Door
from doorround.domain.input_result import By, OffGrammar
from doorround.domain.values import Choice, Condition
from doorround.english.bare_answers import is_asked
from doorround.understanding.understand import Understanding
from doorround.understanding.understanding_result import Understood

UNDERSTANDING = Understanding(CHECKLIST)
UNKNOWN = Door(number="9", site="Alder House", use="corridor in constant use")


def at_material() -> Visit:
    visit = Visit(UNKNOWN)
    while visit.check.open != "register.material":
        visit.type("skip")
    return visit


def understood(words: str) -> Understood:
    expected = expected_input(at_material().check)
    return UNDERSTANDING.understand(expected.open, words, expected)


@pytest.mark.parametrize(
    ("words", "question", "fault"),
    [
        ("no sign on this side", "sign.here", "missing"),
        ("the glass is cracked", "glass.here", "cracked"),
        ("top one's got a screw missing", "hinges.fixings", "screw_missing"),
        ("closer leaking oil", "closer.full", "leaking"),
        ("it doesn't latch", "latch", "not_latching"),
    ],
)
def test_a_fault_whose_part_is_named_is_read_back(words: str, question: str, fault: str) -> None:
    found = understood(words)
    [said] = found.meanings
    assert found.kind == "read_back" and said.question == question
    assert isinstance(said.value, Condition) and [e.name for e in said.value.defects] == [fault]


@pytest.mark.parametrize(
    ("words", "faults"),
    [
        (
            "the closer's off and the glass is cracked",
            {"closer.full": "missing", "glass.here": "cracked"},
        ),
        (
            "the sign is missing and the frame is split",
            {"sign.here": "missing", "frame.here": "split"},
        ),
    ],
)
def test_faults_of_two_parts_are_both_read_back(words: str, faults: dict[str, str]) -> None:
    found = understood(words)
    told = {
        said.question: said.value.defects[0].name
        for said in found.meanings
        if isinstance(said.value, Condition) and len(said.value.defects) == 1
    }
    assert (found.kind, told) == ("read_back", faults)


def test_of_two_faults_one_that_is_not_read_is_not_lost_behind_the_other() -> None:
    found = understood("closer leaking oil and hinges loose")  # "oil" may be a repair
    assert (found.kind, found.meanings) == ("nothing", ())


@pytest.mark.parametrize("words", ["someone's kicked a hole in the bottom", "door's knackered"])
def test_a_fault_whose_part_is_not_named_is_offered_of_the_likeliest(words: str) -> None:
    found = understood(words)
    assert found.kind == "offered" and found.offers[0].meaning[0].question == "leaf.here"
    assert not any(
        isinstance(said.value, Condition) and said.value.passes
        for offer in found.offers
        for said in offer.meaning
    )


@pytest.mark.parametrize(
    ("words", "question", "value"),
    [
        ("overhead one", "register.closer", "overhead"),
        ("wired glass", "register.glazing", "wired"),
        ("no closer on it", "register.closer", "none"),
        ("push side", "register.first_side", "push side"),
    ],
)
def test_another_fact_of_the_door_is_read_back(words: str, question: str, value: str) -> None:
    found = understood(words)
    [said] = found.meanings
    assert (found.kind, said.question, said.value) == ("read_back", question, Choice(chosen=value))


@pytest.mark.parametrize(
    "words",
    [
        *("yes", "3", "three hinges", "what's an intumescent", "is the glass cracked?"),
        *("no damage", "no holes in the leaf", "the hole in the leaf was filled"),
    ],
)
def test_numbers_questions_and_what_is_denied_tell_nothing(words: str) -> None:
    found = understood(words)
    meant = [*found.meanings, *(said for offer in found.offers for said in offer.meaning)]
    assert {said.question for said in meant} <= {"register.material"}


@pytest.mark.parametrize("words", ["the frame is fine", "all good", "it shuts fine on its own"])
def test_nothing_is_passed_from_a_question_of_fact(words: str) -> None:
    found = understood(words)
    meant = [*found.meanings, *(said for offer in found.offers for said in offer.meaning)]
    assert not any(isinstance(said.value, Condition) for said in meant)


def test_words_that_stay_unread_at_a_question_of_fact_are_told_before_the_signature() -> None:
    visit = at_material()
    for words in ("it went all wonky on tuesday", "what's an intumescent", "12"):
        visit.take(OffGrammar(by=By.TYPING, words=words))
    visit.type("skip", "finish")
    said = visit.type("finish")[-1]
    assert "it went all wonky on tuesday" in said and "intumescent" not in said
    visit.type("finish")
    assert visit.check.stage is Stage.SIGNED
    assert visit.entered[-1].body["unread"] == ["it went all wonky on tuesday"]


def test_words_before_the_answer_were_a_try_at_it() -> None:
    visit = at_material()
    typed_on(visit, "some kind of wood")
    visit.type("timber", "finish")
    assert visit.check.unread_at_end == ()


@pytest.mark.parametrize(
    ("words", "asked"),
    [
        ("whats an intumescent", True),
        ("is it cracked?", True),
        ("how do I tell", True),
        ("whatever, it's split", False),
        ("hinge loose", False),
        ("when is it due", True),
        ("where's the closer", True),
        ("when I let go it slams", False),
        ("where it meets the frame it's split", False),
        ("what a mess, the glass is smashed", False),
        ("where I let go, is it split?", True),
    ],
)
def test_what_is_asked_of_the_bot(words: str, asked: bool) -> None:
    assert is_asked(words) is asked


@pytest.mark.parametrize(
    ("key", "words", "fault"),
    [
        ("frame.here", "someone's wedged it again", "wedged"),
        ("leaf.here", "fine but someone's wedged it", "wedged"),
        ("closer.full", "fine, but there's a bike in front of it", "stored"),
        ("glass.here", "oh, and it's propped open with an extinguisher", "propped"),
    ],
)
def test_what_stands_in_the_way_is_read_back_of_the_doorway_at_any_part(
    key: str, words: str, fault: str
) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    typed_on(visit, words)
    assert visit.said[0].startswith("Doorway: ") and visit.said[0].endswith("Right?")
    visit.type("yes")
    assert visit.meaning("clear") == fault and visit.check.open == key


@pytest.mark.parametrize("at_end", [True, False])
def test_a_fault_of_an_answered_part_in_own_words_takes_no_other_with_it(at_end: bool) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("damaged", *(("finish",) if at_end else ()))
    typed_on(visit, "split the frame earlier")
    assert visit.said == ["Frame, this side: damaged; split. Right?"]
    visit.type("yes")
    assert visit.meaning("frame.here") == "damaged; split"
