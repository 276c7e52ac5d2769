"""The phone edit distance: near to what the project measured words by earlier, exact over whole
grammars.
"""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doorround.config.resources import pronunciations
from doorround.hearing.automata.acceptor import Automaton
from doorround.hearing.grammar.phrase_list import automaton_of, grammar_of_phrases
from doorround.hearing.lexicon.phone_costs import ORDER, bundled_costs
from doorround.hearing.lexicon.phone_distance import distance, distances, nearest, sounds_of
from doorround.hearing.lexicon.pronunciations import Pronunciations

WAYS = Pronunciations.read(pronunciations()).written
WORDS = [
    "yes",
    "no",
    "loose",
    "tight",
    "fine",
    "damaged",
    "not",
    "closes",
    "painted",
    "three",
    "hole",
    "okay",
]

# The project's own earlier measurement, with American pronunciations.
MEASURED = [
    ("sixteen", "sixty", 0.7),
    ("fourteen", "forty", 0.7),
    ("pass", "bad", 0.8),
    ("fine", "fail", 1.0),
    ("pause", "pass", 1.0),
    ("next", "works", 1.0),
    ("good", "bad", 1.3),
    ("yes", "loose", 1.4),
    ("tight", "stuck", 1.4),
    ("no damage", "damage", 1.7),
    ("pass", "fail", 1.7),
    ("okay", "broken", 2.6),
    ("all good", "damaged", 3.1),
    ("okay", "damaged", 3.9),
    ("nothing missing", "missing", 4.1),
    ("fully closes", "does not close", 5.4),
]


@pytest.mark.parametrize(("one", "other", "apart"), MEASURED)
def test_distances_come_within_half_a_phone_of_those_measured_earlier(one, other, apart):
    assert distance(one, other, WAYS) == pytest.approx(apart, abs=0.5)


def test_close_words_are_put_before_safe_ones_as_measured():
    close = [distance(one, other, WAYS) for one, other, apart in MEASURED if apart < 2]
    safe = [distance(one, other, WAYS) for one, other, apart in MEASURED if apart > 2]
    assert max(close) < 2.0 < 2.5 < min(safe)


def test_whole_and_hole_sound_alike():
    assert distance("whole", "hole", WAYS) == 0


def test_an_unvoiced_h_and_a_last_t_count_little():
    said = {"holds": WAYS("holds"), "olds": (("OW", "L", "D", "Z"),)}
    assert distance("holds", "olds", said.__getitem__) == pytest.approx(0.4)
    assert distance("bent", "ben", WAYS) == pytest.approx(0.4)


def test_costs_are_even_and_nothing_is_free_but_the_same():
    costs = bundled_costs()
    assert (costs.instead == costs.instead.T).all()
    assert all(
        (costs.instead[place, other] > 0) == (place != other)
        for place in range(39)
        for other in range(39)
    )
    assert len(ORDER) == 39 and (costs.gone > 0).all() and (costs.at_end <= costs.gone).all()


phrases = st.lists(
    st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).map(" ".join), min_size=1, max_size=5
)


@settings(max_examples=30, deadline=None)
@given(phrases, phrases)
def test_the_nearest_of_a_network_is_the_nearest_of_its_phrases(said, others):
    nfa = sounds_of(automaton_of(grammar_of_phrases(others)), WAYS)
    for phrase, far in zip(said, distances(said, nfa, WAYS), strict=True):
        one_by_one = min(distance(phrase, other, WAYS) for other in others)
        found = nearest(phrase, nfa, WAYS)
        assert far == pytest.approx(one_by_one) == pytest.approx(found.distance)
        assert found.phrase in others
        assert distance(phrase, found.phrase, WAYS) == pytest.approx(one_by_one)


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(WORDS), st.sampled_from(WORDS))
def test_distance_is_the_same_both_ways(one, other):
    assert distance(one, other, WAYS) == pytest.approx(distance(other, one, WAYS))


def test_a_loop_is_refused():
    with pytest.raises(ValueError, match="circle"):
        sounds_of(Automaton(((0, 1, "no"), (1, 0, "no")), frozenset({1})), WAYS)


def test_a_word_nobody_can_say_is_named():
    with pytest.raises(ValueError, match='how "brimstead" is said'):
        distance("yes", "brimstead", WAYS)
