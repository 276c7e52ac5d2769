"""What holds a door open is told at whatever question stands open: it is the danger that can be
ended at once.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from visits import CHECKLIST, UNDERSTANDING, at, understood

from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.question_grammar import grammar_now

TOLD = {
    "there's a wedge": "wedged",
    "there is a wedge under the door": "wedged",
    "a wedge in it": "wedged",
    "it's wedged open": "wedged",
    "the door is wedged open": "wedged",
    "propped open": "propped",
    "it's propped open with a chair": "propped",
    "fire extinguisher holding it open": "propped",
    "there's boxes in the way": "stored",
    "bike in the doorway": "stored",
    "door's tied open": "fixed",
    "it's hooked back": "fixed",
}
CLEAR = CHECKLIST.ask("clear")
OTHERS = [question.key for question in CHECKLIST.question if question.key != "clear"]


@pytest.mark.parametrize("key", OTHERS)
def test_what_holds_a_door_open_is_understood_at_any_question_typed_and_by_the_engines(
    key: str,
) -> None:
    now = replace(at(key), others=(CLEAR,), parts=CHECKLIST.question)
    may_be_said = said_in(grammar_now(UNDERSTANDING, now))
    for phrase, fault in TOLD.items():
        assert understood(phrase, now) == [("clear", fault)], phrase
        assert may_be_said.accepts(split_words(phrase)), phrase


@pytest.mark.parametrize("key", OTHERS)
def test_that_nothing_holds_it_is_no_answer_to_another_question(key: str) -> None:
    now = replace(at(key), others=(CLEAR,), parts=CHECKLIST.question)
    for phrase in (
        "no wedge",
        "there isn't a wedge",
        "not wedged open",
        "it isn't propped open",
        "wasn't tied back",
    ):
        assert understood(phrase, now) in (None, [("clear", "sound?")]), phrase
