"""Which phrases sound like another: the same distances as the exact search of a network, phrase by
phrase.
"""

import random

import pytest

from doorround.hearing.lexicon.distance_table import EVEN
from doorround.hearing.lexicon.phone_distance import distance
from doorround.hearing.lexicon.soundalikes import NEAREST, SoundAlikes
from doorround.wiring import load_understanding

BOOK = load_understanding().grammar_set
PHRASES = tuple(
    phrase
    for rule in ("condition.hinges", "condition.latch", "yes_no.locked")
    for phrase in BOOK.usual(rule)
)


def first_way(word):
    return BOOK.ways(word)[:1]


def everything(_phrase):
    return True


@pytest.mark.parametrize("phrase", random.Random(5).sample(PHRASES, 20))
def test_it_finds_what_an_exact_search_finds(phrase):
    found = SoundAlikes(PHRASES, first_way).near(phrase, everything, len(PHRASES))
    far = {other: distance(phrase, other, first_way) for other in PHRASES if other != phrase}
    assert set(found) >= {other for other, apart in far.items() if apart < NEAREST - EVEN}
    assert set(found) <= {other for other, apart in far.items() if apart < NEAREST + EVEN}
    assert [far[other] for other in found] == pytest.approx(sorted(far[other] for other in found))


def test_it_gives_only_what_is_wanted_and_no_more_than_asked_for():
    alikes = SoundAlikes(["all tight", "all right", "all taped", "alright"], BOOK.ways)
    assert alikes.near("all taped", everything, 1) == ["all tight"]
    assert "all tight" not in alikes.near("all taped", lambda said: said != "all tight", 4)


def test_it_never_gives_the_phrase_itself():
    assert SoundAlikes(["loose", "lose"], BOOK.ways).near("loose", everything, 2) == ["lose"]


def test_what_nobody_knows_how_to_say_is_left_out():
    alikes = SoundAlikes(
        ["loose", "blimfloster"], lambda word: BOOK.ways(word) if word == "loose" else ()
    )
    assert len(alikes) == 1
    assert alikes.near("blimfloster", everything, 2) == []


def test_among_nothing_it_finds_nothing():
    assert SoundAlikes([], BOOK.ways).near("loose", everything, 2) == []
