"""A fault of a part that the register does not have can be told; what is there is then asked."""

from __future__ import annotations

import pytest
from visits import CHECKLIST, UNDERSTANDING, Visit, door, understood, visit_at

from doorround.dialogue.expected_input import expected_input
from doorround.domain.judging.contradictions import QUESTIONS
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.understanding.understand import Understanding


@pytest.mark.parametrize(
    ("field", "said", "key", "fault"),
    [
        ("glazing", "glass cracked", "glass.here", "cracked"),
        ("glazing", "the glass is cracked", "glass.here", "cracked"),
        ("screens", "side panel smashed", "screens", "broken"),
        ("threshold_seal", "threshold seal torn", "threshold", "damaged"),
        ("latch", "latch loose", "latch", "loose"),
        ("hold_open", "magnet won't let go", "hold_open", "not_releasing"),
    ],
)
@pytest.mark.parametrize("at", ["sign.here", "leaf.here", "seals"])
def test_a_fault_of_a_part_that_the_register_denies_can_be_told_anywhere(
    field: str, said: str, key: str, fault: str, at: str
) -> None:
    visit = Visit(door(**{field: "none"})).go_to(at)
    told = visit.type(said)
    assert visit.check.answers[key].value.defects[0].name == fault
    assert any("What you see counts." in line for line in told), told
    assert told[-1].startswith(visit.check.checklist.ask(QUESTIONS[field]).ask)


def test_a_pass_of_a_part_that_the_register_denies_moves_nothing() -> None:
    visit = Visit(door(glazing="none")).go_to("leaf.here")
    visit.type("glass fine")
    assert not [key for key in visit.check.answers if key.startswith("glass")]


def test_glass_found_and_named_is_asked_for_on_its_other_face() -> None:
    visit = Visit(door(glazing="none")).go_to("leaf.here")
    visit.type("glass cracked")
    visit.type("wired glass")
    assert visit.check.door.glazing == "wired"
    assert "glass.beyond" in [question.key for question in visit.check.unanswered]


def test_a_letter_plate_that_nobody_asks_about_can_be_told_without_its_flap() -> None:
    for fitted in (None, "none"):
        visit = Visit(door(use="office", letter_plate=fitted)).go_to("leaf.here")
        visit.type("letter plate flap missing")
        assert visit.check.answers["letter_plate"].value.defects[0].name == "missing", fitted


@pytest.mark.parametrize(
    ("at", "said", "key", "meaning"),
    [
        ("glass.here", "no glass", "glass.here", "does not apply: no glass"),
        ("glass.here", "hasn't got any glass", "glass.here", "does not apply: no glass"),
        ("frame.here", "there's no glass", "glass.here", "does not apply: no glass"),
        (
            "letter_plate",
            "there's no letter plate",
            "letter_plate",
            "does not apply: no letter plate",
        ),
        ("closer.full", "hasn't got a closer", "closer.full", "missing"),
        ("register.closer", "hasn't got a closer", "register.closer", "is none"),
        ("register.letter_plate", "hasn't got one", "register.letter_plate", "is none"),
        ("register.letter_plate", "no letter box", "register.letter_plate", "is none"),
        ("register.letter_plate", "there's no letterbox", "register.letter_plate", "is none"),
        ("letter_plate", "no letterbox", "letter_plate", "does not apply: no letter plate"),
    ],
)
def test_a_part_that_is_denied_is_heard_where_its_question_allows_it(
    at: str, said: str, key: str, meaning: str
) -> None:
    now = expected_input(visit_at(at).check)
    assert understood(said, now) == [(key, meaning)]
    assert UNDERSTANDING.utterances.joined(now).accepts(split_words(said))


@pytest.mark.parametrize("at", ["frame.here", "leaf.here", "hinges.fixings", "seals", "clear"])
def test_a_part_that_is_denied_says_nothing_of_the_part_asked_about(at: str) -> None:
    visit = visit_at(at)
    visit.type("there's no letter plate")
    assert at not in visit.check.answers


@pytest.mark.parametrize("said", ["no cat flap", "no extra bolt", "no letterbox"])
def test_a_thing_that_is_not_there_says_nothing_of_the_leaf(said: str) -> None:
    visit = visit_at("leaf.here")
    assert understood(said, expected_input(visit.check)) != [("leaf.here", "sound")]
    visit.type(said)
    visit.type("yes")
    assert "leaf.here" not in visit.check.answers


def test_a_denial_that_the_grammar_does_not_read_is_no_missing_pane_unasked() -> None:
    visit = visit_at("glass.here")
    found = Understanding(CHECKLIST).understand(
        visit.check.asked, "not got a window in it", expected_input(visit.check)
    )
    assert found.kind == "read_back"
