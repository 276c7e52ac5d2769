"""Tests of function, of closing, latching and letting go, pass on words of function alone."""

from __future__ import annotations

import pytest
from visits import BOOK, CHECKLIST, understood, visit_at

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage


def everywhere(key: str) -> ExpectedInput:
    """This question open, all others waiting."""
    others = tuple(question for question in CHECKLIST.question if question.key != key)
    return ExpectedInput(Stage.ASKING, CHECKLIST.ask(key), others, parts=CHECKLIST.question)


FUNCTION = [question for question in CHECKLIST.question if question.works]
NOTHING_OF_IT = [
    "undamaged",
    "no damage",
    "no damage at all",
    "no defects",
    "not damaged",
    "unbroken",
    "not broken",
    "intact",
    "looks fine",
    "looks good",
    "fine this side too",
    "all undamaged",
]
IN_GENERAL = [
    "fine",
    "okay",
    "all good",
    "all good both sides",
    "good",
    "all right",
    "perfect",
    "no problem",
    "nothing wrong",
    "same again fine",
    "in order",
    "all fine",
]


def test_the_tests_of_function_are_those_that_ask_whether_something_works():
    assert [question.key for question in FUNCTION] == [
        "hold_open",
        "latch",
        "latch_second",
        "letter_plate",
        "threshold",
        "closer.full",
        "closer.full_second",
        "closer.ajar",
        "closer.ajar_second",
        "coordinator",
    ]


@pytest.mark.parametrize("question", FUNCTION, ids=lambda question: question.key)
def test_words_that_say_nothing_of_the_function_are_no_answer_to_it(question):
    assert [words for words in NOTHING_OF_IT if understood(words, everywhere(question.key))] == []


@pytest.mark.parametrize("question", FUNCTION, ids=lambda question: question.key)
def test_what_is_said_in_general_of_a_function_is_read_back_in_its_own_words(question):
    for words in IN_GENERAL:
        visit = visit_at(question.key)
        assert visit.type(words)[0].endswith(f"{question.works}. Right?"), words
        assert visit.meaning(question.key) is None


@pytest.mark.parametrize("question", FUNCTION, ids=lambda question: question.key)
def test_every_phrase_that_passes_a_function_at_once_has_a_word_of_it(question):
    works = {
        "work",
        "works",
        "working",
        "latches",
        "catches",
        "shuts",
        "shut",
        "closes",
        "closed",
        "close",
        "order",
        "go",
        "goes",
        "lets",
        "let",
        "releases",
        "released",
        "drops",
        "comes",
        "touches",
        "reaches",
        "sealing",
        "across",
        "along",
    }
    passes = [
        phrase
        for phrase, tags in BOOK.phrases(question.says).items()
        if "sound" in tags and not {"hedge", "partial"} & set(tags)
    ]
    assert passes and [phrase for phrase in passes if not works & set(phrase.split())] == []
