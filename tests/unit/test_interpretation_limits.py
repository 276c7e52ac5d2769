"""Words that fit nowhere, spelling that must be right, and nonsense of any length."""

from __future__ import annotations

import random
import time

import pytest
from visits import (
    BOOK,
    CORRIDOR,
    HELD_OPEN,
    UNDERSTANDING,
    Visit,
    door,
    understood,
)

from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.domain.check import Stage
from doorround.domain.input_result import By, Heard, OffGrammar, Unsure
from doorround.hearing.session.interpretation import MAX_WORDS, typed


def at(key: str, fire_door: object = HELD_OPEN) -> ExpectedInput:
    """A visit that stands at this question, everything before it answered."""
    return expected_input(Visit(fire_door).go_to(key).check)  # type: ignore[arg-type]


# ---- What is no answer


@pytest.mark.parametrize(
    "text",
    [
        "all clear purple",
        "not really all clear",
        "clear of the wall",
        "frame",
        "hinges",
        "I think",
        "and",
        "yes",
        "no",
        "three",
        "all clear but wedged a bit",
        "!!!",
        "…",
        "",
        "   ",
    ],
)
def test_a_word_that_fits_nowhere_makes_the_whole_no_answer(text: str) -> None:
    assert typed(UNDERSTANDING, text, at("clear")) == OffGrammar(by=By.TYPING, words=text)


def test_nothing_may_be_answered_while_paused_or_after_the_end() -> None:
    paused = Visit()
    paused.type("pause")
    for text in ("all clear", "frame fine", "no, two", "yes"):
        assert isinstance(typed(UNDERSTANDING, text, expected_input(paused.check)), OffGrammar)


def test_what_would_end_the_check_must_be_spelled_right_or_confirmed() -> None:
    summary = ExpectedInput(Stage.SUMMARY)
    assert isinstance(typed(UNDERSTANDING, "finish check", summary), Heard)
    assert isinstance(typed(UNDERSTANDING, "finsh check", summary), Unsure)
    assert isinstance(typed(UNDERSTANDING, "cancell", summary), Unsure)
    assert isinstance(typed(UNDERSTANDING, "unndo", summary), Heard)


# ---- Speed

_DRAW = random.Random(4)
LONG = {
    "fine": "fine " * MAX_WORDS,
    "and": "and " * MAX_WORDS,
    "and fine": "and fine " * (MAX_WORDS // 2),
    "slips": "fime clera " * (MAX_WORDS // 2),
    "any words": " ".join(_DRAW.choice(sorted(BOOK.vocabulary)) for _ in range(MAX_WORDS)),
    "screws": "two screws missing in the top hinge " * 17,
    "one long word": "z" * 20_000,
    "letters": "q w e r t y " * 2000,
    "digits": "9" * 20_000,
}
USUAL = (
    "undamaged",
    "it's wedged open",
    "two screws missing in the top hinge",
    "three hinges all tight",
)


def spent(now: ExpectedInput, *answers: str) -> float:
    """Seconds of this process's own work."""
    begun = time.process_time()
    for answer in answers:
        typed(UNDERSTANDING, answer, now)
    return time.process_time() - begun


@pytest.mark.parametrize("name", LONG)
def test_long_nonsense_takes_no_longer_than_two_thousand_usual_answers(name: str) -> None:
    """Held against the same machine in the same minute.

    A search that grows with the power of the words takes hours.
    """
    now = at("clear", door(hinges=None, seals=None))
    spent(now, *USUAL)
    usual = max(spent(now, *USUAL * 25), spent(now, *USUAL * 25))
    assert spent(now, LONG[name]) < 20 * usual


def test_more_than_120_words_are_no_answer() -> None:
    assert MAX_WORDS == 120
    assert understood("well " * 119 + "fine", at("clear", CORRIDOR)) == [("clear", "sound")]
    assert understood("well " * 120 + "fine", at("clear", CORRIDOR)) is None
