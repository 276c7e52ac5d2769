"""No pass may sound like a fault: over everything that may be said at each question, with the real
grammar.
"""

import pytest
from visits import BOOK, CHECKLIST

from doorround.config.resources import grammar_folder, pronunciations
from doorround.hearing.grammar.confusable_pairs import ConfusablePairs
from doorround.hearing.grammar.confusable_rules import Rules
from doorround.hearing.grammar.grammar_set import GrammarSet
from doorround.hearing.grammar.pass_fail_acceptors import faults, passes
from doorround.hearing.lexicon.phone_distance import distance
from doorround.hearing.lexicon.pronunciations import Pronunciations

KNOWN = Pronunciations.read(pronunciations())
NEAR = ConfusablePairs(CHECKLIST, BOOK, KNOWN.ways)
QUESTIONS = list({question.says: question for question in CHECKLIST.question}.values())
CLOSER = CHECKLIST.ask("closer.full")


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.says)
def test_no_pass_sounds_like_a_fault_beyond_what_is_allowed(question):
    assert [pair for pair in NEAR.failures(question) if not pair.allowed] == []


def test_no_yes_sounds_like_a_no_or_a_fault_at_a_read_back():
    assert [pair for pair in NEAR.failures_at_read_back() if not pair.allowed] == []


def small_grammar(tmp_path, closer):
    """The real grammar with other answers about the closer."""
    for path in grammar_folder().glob("*.jsgf"):
        (tmp_path / path.name).write_text(path.read_text(encoding="utf-8"), encoding="utf-8")
    text = (tmp_path / "condition.jsgf").read_text(encoding="utf-8")
    before, _, after = text.partition("public <closer> =")
    _, _, rest = after.partition(";")
    (tmp_path / "condition.jsgf").write_text(
        f"{before}public <closer> = {closer};{rest}", encoding="utf-8"
    )
    return ConfusablePairs(CHECKLIST, GrammarSet.read(tmp_path), KNOWN.ways)


def test_a_pass_that_is_too_near_to_a_fault_is_found(tmp_path):
    near = small_grammar(tmp_path, "(closes | pass) {sound} | (slams | bad [again]) {defect=slams}")
    (pair,) = near.failures(CLOSER)
    assert (pair.one, pair.other, pair.allowed) == ("pass", "bad", "")
    assert pair.distance == pytest.approx(0.8)


def test_what_is_read_back_anyway_is_not_held_against_faults(tmp_path):
    assert (
        small_grammar(
            tmp_path, "closes {sound} | pass {sound} {hedge} | bad {defect=slams}"
        ).failures(CLOSER)
        == []
    )


def test_the_worst_pair_is_found_behind_optional_words(tmp_path):
    near = small_grammar(
        tmp_path, "closes all the way {sound} | [really] closes all [the] day {defect=slams}"
    )
    (pair,) = near.worst(CLOSER)
    assert (pair.one, pair.other) == ("closes all the way", "closes all the day")


@pytest.mark.parametrize("key", ["clear", "seals", "hinges.fixings", "closer.full"])
def test_passes_and_faults_are_parted_by_what_they_mean(key):
    question = CHECKLIST.ask(key)
    said = passes(question, BOOK)
    wrong = faults(question, BOOK)
    assert len(said) > 20 and "whole" not in said
    for phrase, tags in BOOK.usual(question.says).items():
        assert wrong.accepts(phrase.split()) == ("sound" not in tags), phrase
    assert not any(wrong.accepts(phrase.split()) for phrase in said)


@pytest.mark.parametrize(
    ("one", "other", "allowed"),
    [
        ("not loose", "loose", "denial"),
        ("undamaged", "are damaged", "denial"),
        ("nothing loose", "top hinge loose", "denial"),
        ("closes fully", "doesn't close fully", "denial"),
        ("nine", "none", "number"),
        ("four", "two", "number"),
        ("yes", "rust", "listed"),
        ("good", "gone", ""),
        ("not loose", "not tight", ""),
        ("fine", "not loose", ""),
    ],
)
def test_only_denials_numbers_and_the_pairs_listed_may_sound_alike(one, other, allowed):
    assert Rules.read().allows(one, other) == allowed


def test_every_allowed_class_gives_its_reason():
    assert set(Rules.read().reasons) == {"denial", "number", "listed"}
    assert all(len(reason) > 80 for reason in Rules.read().reasons.values())


def test_the_listed_pairs_are_still_needed():
    assert all(
        distance(one, other, KNOWN.ways) < Rules.read().least for one, other in Rules.read().listed
    )
