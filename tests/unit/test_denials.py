"""The denials of a phrase among everything that may be said: a pass is scored against each."""

from functools import cache

import pytest

from doorround.config.resources import load_checklist
from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.denials import denials, unsaid
from doorround.hearing.grammar.pass_fail_acceptors import passes
from doorround.hearing.grammar.phrase_list import grammar_of_phrases
from doorround.hearing.session.question_grammar import grammar_now
from doorround.wiring import load_understanding

CHECKLIST = load_checklist()
ASKED = {
    question.says: question for question in CHECKLIST.question if question.component != "register"
}


@cache
def at(key):
    question = CHECKLIST.ask(key)
    others = tuple(each for each in CHECKLIST.question if each.key != key)
    return grammar_now(
        load_understanding(),
        ExpectedInput(Stage.ASKING, question, others, parts=(question, *others)),
    )


def test_a_negation_more_or_less_denies():
    may_be_said = grammar_of_phrases(
        [
            "touches the floor",
            "doesn't touch the floor",
            "seals fine",
            "seals not fine",
            "all tight",
            "painted",
        ]
    )
    assert denials("touches the floor", may_be_said) == ["doesn't touch the floor"]
    assert denials("doesn't touch the floor", may_be_said) == ["touches the floor"]
    assert denials("seals fine", may_be_said) == ["seals not fine"]
    assert denials("all tight", may_be_said) == []
    assert denials("seals not fine", may_be_said) == ["seals fine"]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("nothing loose", "something loose"),
        ("nothing loose", "loose"),
        ("none missing", "some missing"),
        ("none there", "all there"),
        ("damaged", "undamaged"),
        ("never closes", "closes"),
        ("never closes", "always closes"),
        ("without gaps", "with gaps"),
        ("it's tight", "isn't tight"),
        ("a wedge", "no wedge"),
        ("can close", "cannot close"),
        ("there isn't one", "there is one"),
        ("no longer closes", "closes"),
    ],
)
def test_each_denies_the_other(one, other):
    may_be_said = grammar_of_phrases([one, other])
    assert denials(one, may_be_said) == [other]
    assert denials(other, may_be_said) == [one]


@pytest.mark.parametrize(
    ("key", "passing", "fault"),
    [
        ("lock", "it was locked", "it was unlocked"),
        ("lock", "it was locked", "it wasn't locked"),
        ("mark", "marked", "unmarked"),
        ("mark", "marked", "not marked"),
        ("clear", "nothing in the way", "something in the way"),
        ("clear", "nothing against it", "something against it"),
        ("sign.here", "readable", "unreadable"),
        ("frame.here", "undamaged", "damaged"),
        ("seals", "unpainted", "painted"),
        ("seals", "all there", "none there"),
        ("hinges.fixings", "nothing loose", "loose"),
        ("glass.here", "firm", "not firm"),
        ("closer.full", "closes fully", "doesn't close fully"),
        ("threshold", "touches the floor", "doesn't touch the floor"),
        ("latch", "latches", "won't latch"),
        ("frame.beyond", "undamaged", "damaged"),
    ],
)
def test_at_its_question_a_pass_is_held_against_the_fault(key, passing, fault):
    assert at(key).polarity(passing) is Polarity.PASS
    assert at(key).polarity(fault) is Polarity.DEFECT
    assert fault in denials(passing, at(key))


@pytest.mark.parametrize(
    ("key", "fault", "clearing"),
    [
        ("sign.here", "loose", "nothing loose"),
        ("closer.full", "it's loose", "not loose"),
        ("leaf.here", "cracked", "uncracked"),
        ("threshold", "missing", "nothing missing"),
        ("threshold", "i think missing", "nothing missing"),
        ("sign.here", "something loose", "nothing loose"),
        ("frame.here", "hole", "no hole"),
        ("clear", "they are obstructed", "nothing obstructed"),
    ],
)
def test_a_fault_is_held_against_what_clears_of_it_where_that_is_no_answer(key, fault, clearing):
    assert at(key).polarity(fault) is Polarity.DEFECT
    assert clearing in unsaid(fault, at(key))


def test_what_clears_of_a_fault_and_is_an_answer_is_left_to_the_grammar():
    assert "nothing loose" not in unsaid("loose", at("frame.here"))
    assert unsaid("not tight", at("hinges.fixings")) == []
    assert unsaid("skip", at("seals")) == []


@pytest.mark.parametrize("question", ASKED.values(), ids=ASKED)
def test_what_denies_a_phrase_is_denied_by_it(question):
    may_be_said = at(question.key)
    for passing in passes(question, load_understanding().grammar_set)[::5]:
        for other in denials(passing, may_be_said):
            assert passing in denials(other, may_be_said), (passing, other)


def test_what_denies_a_pass_and_is_no_answer_is_known_all_the_same():
    assert {"damaged", "not firm"} & set(unsaid("undamaged", at("glass.here"))) == {"damaged"}
    assert "damaged" not in unsaid("undamaged", at("frame.here")), (
        "there it is a fault, and among the denials"
    )
    assert "problem" in unsaid("no problem", at("frame.here"))
    assert {"not fine", "isn't fine"} <= set(unsaid("fine", at("seals")))
    assert {"not fine", "isn't fine"} <= set(unsaid("it's fine", at("seals")))
    assert "not fine this side too" in unsaid("notice fine this side too", at("frame.beyond"))
    assert {"isn't steel", "not a steel"} <= set(unsaid("it's a steel", at("register.material")))
    assert "not tight" not in unsaid("they're tight", at("hinges.fixings")), "a fault there"
    assert unsaid("three", at("hinges.count")) == [], "nobody says not three"
    assert unsaid("yes", grammar_of_phrases(["yes", "no"])) == []


def test_a_correction_that_passes_is_held_against_what_it_sounds_like():
    leaf = CHECKLIST.ask("leaf.here")
    glass = CHECKLIST.ask("glass.here")
    now = ExpectedInput(Stage.ASKING, glass, (), last=(leaf,), parts=(leaf, glass))
    may_be_said = grammar_now(load_understanding(), now)
    assert may_be_said.polarity("no fine") is Polarity.PASS
    assert "not fine" in unsaid("no fine", may_be_said)
    assert "not damage" not in unsaid("no damage", may_be_said), "which denies nothing of it"
