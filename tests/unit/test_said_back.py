"""The words of a question, said back as they were asked, are its answer: typed and spoken, and with
no part of them lost.
"""

from __future__ import annotations

import pytest
from visits import UNDERSTANDING, in_short, visit_at

from doorround.dialogue.expected_input import expected_input
from doorround.domain.input_result import Heard
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.hearing.session.interpretation import typed

SAID_BACK = [
    ("clear", "No wedge, nothing propped, stored or fixed against the door"),
    ("sign.here", "right and readable"),
    ("frame.here", "undamaged and firm"),
    ("leaf.here", "undamaged, no holes"),
    ("glass.here", "glass and beading undamaged and firm"),
    ("glass.beyond", "glass and beading undamaged and firm"),
    ("screens", "all in order"),
    ("latch", "in good working order"),
    ("letter_plate", "in good working order"),
    ("seals", "all there, undamaged, never painted"),
    ("seals", "all there, undamaged"),
    ("threshold", "it reaches the floor all the way across"),
    ("hinges.fixings", "marked, every screw in and tight"),
    ("closer.full", "it closes by itself, all the way, without slamming"),
    ("closer.ajar", "it closes all the way"),
    ("hold_open", "it lets go"),
    ("coordinator", "they close in the right order"),
    ("label", "both legible"),
]
ASKED_BEFORE = [
    ("glass.here", "whole, and the beading firm and unbroken"),
    ("glass.beyond", "glass and beading whole and firm"),
    ("screens", "whole, marked, and the beading firm"),
    ("latch", "firm, and they work"),
    ("latch", "firm and working"),
    ("letter_plate", "flap whole, and it shuts by itself"),
    ("threshold", "in place, and it reaches the floor"),
    ("threshold", "touches the floor"),
    ("label", "there, and legible"),
    ("label", "label there and readable"),
]
"""As these questions were worded once: whoever got used to that answers so."""
READ_BACK = {"all there, undamaged"}
"""All that NFPA 80 asks of gaskets; of seals more is asked elsewhere, in the same words."""


@pytest.mark.parametrize(("key", "words"), SAID_BACK + ASKED_BEFORE)
def test_the_words_of_a_question_said_back_pass_its_part(key: str, words: str) -> None:
    now = expected_input(visit_at(key).check)
    heard = typed(UNDERSTANDING, words, now)
    assert isinstance(heard, Heard)
    assert [(each.question, in_short(each.value), each.hedged) for each in heard.said] == [
        (key, "sound", words in READ_BACK)
    ]


@pytest.mark.parametrize(("key", "words"), SAID_BACK)
def test_an_engine_listens_for_all_of_them_not_for_the_last(key: str, words: str) -> None:
    now = expected_input(visit_at(key).check)
    assert UNDERSTANDING.utterances.joined(now).accepts(split_words(words))


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("seals", "all there, painted"),
        ("seals", "not all there, undamaged"),
        ("seals", "all there, undamaged, never mind the paint"),
        ("leaf.here", "undamaged, holes"),
        ("closer.full", "it closes by itself, all the way, with slamming"),
        ("closer.full", "it closes by itself, not all the way"),
        ("hinges.fixings", "marked, every screw in, not tight"),
        ("clear", "no wedge, propped, stored or fixed against the door"),
        ("coordinator", "they close in the wrong order"),
        ("latch", "not in good working order"),
        ("latch", "in bad working order"),
        ("letter_plate", "in no working order"),
        ("threshold", "it reaches the floor, not all the way across"),
        ("threshold", "it reaches the floor half way across"),
        ("threshold", "it reaches the frame all the way across"),
    ],
)
def test_with_one_word_changed_they_pass_nothing_unasked(key: str, words: str) -> None:
    heard = typed(UNDERSTANDING, words, expected_input(visit_at(key).check))
    said = heard.said if isinstance(heard, Heard) else ()
    assert not [each for each in said if in_short(each.value) == "sound" and not each.hedged]
