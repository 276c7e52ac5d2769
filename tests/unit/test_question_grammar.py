"""What an engine is given at a question: its grammar, and what may be taken for it from
elsewhere.
"""

from dataclasses import replace

import pytest
from visits import CHECKLIST, UNDERSTANDING, at

from doorround.hearing.decision.competitors import competitors_of
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.phrase_list import said_in
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.question_grammar import MAX_ELSEWHERE, grammar_now


def there(key):
    """At a question, with every part of the door."""
    return replace(at(key), parts=CHECKLIST.question)


def test_the_text_of_a_grammar_is_written_for_an_engine_that_asks_for_it_and_once(monkeypatch):
    written = []
    write = GrammarSet.write_jsgf
    monkeypatch.setattr(
        GrammarSet, "write_jsgf", lambda logbook, body: written.append(body) or write(logbook, body)
    )
    grammar = grammar_now(Interpreter(UNDERSTANDING.grammar_set), there("seals"))
    assert said_in(grammar).accepts(["painted", "over"]) and not written
    assert grammar.jsgf == grammar.jsgf and grammar.jsgf.startswith("#JSGF V1.0;")
    assert len(written) == 1


@pytest.mark.parametrize(
    ("key", "heard", "said"),
    [
        ("latch", "all taped", "all tight"),
        ("sign.here", "faded", "fitted"),
        ("lock", "screw loose", "screw holes"),
        ("threshold", "doesn't touch", "doesn't latch"),
    ],
)
def test_a_fault_is_held_against_what_sounds_like_it_at_other_questions(key, heard, said):
    grammar = grammar_now(UNDERSTANDING, there(key))
    assert said in competitors_of(heard, grammar).elsewhere


@pytest.mark.parametrize("key", [question.key for question in CHECKLIST.question])
def test_what_may_be_said_here_is_never_held_against_as_being_said_elsewhere(key):
    grammar = grammar_now(UNDERSTANDING, there(key))
    for phrase in grammar.short:
        others = grammar.elsewhere(phrase)
        assert len(others) <= MAX_ELSEWHERE
        assert not any(said_in(grammar).accepts(other.split()) for other in others)


@pytest.mark.parametrize("key", ["hinges.count", "gaps.sides", "gaps.threshold"])
def test_a_number_is_not_held_against_a_word_that_many_say_for_it(key):
    """Two voices' "three" fitted "free" better by two to three nats, and was asked for again."""
    elsewhere = competitors_of("three", grammar_now(UNDERSTANDING, there(key))).elsewhere
    assert "free" not in elsewhere and "frayed" in elsewhere


@pytest.mark.parametrize(
    ("phrase", "name"), [("the handle", True), ("works", False), ("doesn't latch", False)]
)
def test_a_name_alone_is_known_and_told_from_an_answer(phrase, name):
    reading = grammar_now(UNDERSTANDING, there("latch")).read(phrase)
    assert reading.known and reading.name is name


@pytest.mark.parametrize(
    ("phrase", "aside"),
    [("doesn't latch", False), ("latches", False), ("frame split", True), ("skip this", False)],
)
def test_what_is_only_of_another_part_is_told_from_what_was_asked(phrase, aside):
    assert grammar_now(UNDERSTANDING, there("latch")).read(phrase).aside is aside


def test_a_command_is_held_against_no_answer():
    grammar = grammar_now(UNDERSTANDING, there("latch"))
    assert competitors_of("skip this", grammar).elsewhere == ()


@pytest.mark.parametrize(
    ("key", "passes", "denied"),
    [("frame.here", "undamaged", "damaged"), ("latch", "latches", "doesn't latch")],
)
def test_a_pass_is_always_held_against_the_fault_that_denies_it(key, passes, denied):
    grammar = grammar_now(UNDERSTANDING, there(key))
    assert denied in competitors_of(passes, grammar).against
    assert competitors_of(denied, grammar).against == ()


def test_a_place_is_held_against_its_exception():
    """ "A quarter of an inch, bar the bottom" was heard as "at the bottom"."""
    heard = "three at the head"
    grammar = grammar_now(UNDERSTANDING, there("gaps.sides"))
    assert "three bar the head" in competitors_of(heard, grammar).shorter
