"""How words are said: dictionary ways, British ones, and guesses for words that no dictionary
holds.
"""

import gzip
import hashlib
from importlib.metadata import version
from importlib.util import find_spec
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doorround.config.resources import pronunciations
from doorround.hearing.lexicon.g2p import is_known, pronounce
from doorround.hearing.lexicon.letter_model import bundled_letter_model, context
from doorround.hearing.lexicon.pronunciations import (
    CARRIED,
    PHONES,
    Pronunciations,
    bundled_dictionary,
    non_rhotic,
    read_dictionary,
)
from doorround.wiring import load_grammar


def test_a_known_word_is_said_as_the_dictionary_has_it():
    assert pronounce("leaf") == ["L IY F"]
    assert pronounce("Hole") == pronounce("whole") == ["HH OW L"]


def test_the_dictionary_that_is_read_word_by_word_holds_what_the_whole_of_it_holds():
    text = gzip.decompress(CARRIED.read_bytes()).decode("utf-8")
    whole = read_dictionary(text.splitlines())
    one_by_one = bundled_dictionary()
    assert list(one_by_one) == list(whole) and len(one_by_one) == len(whole) > 100_000
    assert all(one_by_one[word] == ways for word, ways in whole.items())
    assert "blimfloster" not in one_by_one


def test_the_dictionary_that_is_carried_is_that_of_the_package_and_has_its_licence_beside_it():
    digest = hashlib.sha256(gzip.decompress(CARRIED.read_bytes())).hexdigest()
    assert digest == "20b5c293e1f311fb375fe067e500ec5636f4fc7af5594967263696def9b23bfe"
    licence = CARRIED.with_name("cmudict.LICENSE.txt").read_text(encoding="utf-8")
    assert (
        "Carnegie Mellon University" in licence
        and "Redistributions of source code must retain" in licence
    )


@pytest.mark.skipif(
    find_spec("pocketsphinx") is None, reason="PocketSphinx has no wheel for this Python"
)
def test_pocketsphinx_itself_says_the_words_of_the_grammar_in_the_same_ways():
    """5.0.4, which Python 3.12 has, lacks some names of places, and "fine" as it is said in Italian
    music.
    """
    import pocketsphinx

    its = read_dictionary(
        Path(pocketsphinx.get_model_path("en-us/cmudict-en-us.dict"))
        .read_text("utf-8")
        .splitlines()
    )
    words = [
        word for word in load_grammar().vocabulary if word in its or word in bundled_dictionary()
    ]
    assert len(words) > 500
    differ = {word for word in words if its.get(word) != bundled_dictionary().get(word)}
    if version("pocketsphinx").startswith("5.1."):
        assert its == dict(bundled_dictionary())
    assert differ <= {"fine"} and its["fine"][0] == bundled_dictionary()["fine"][0]


@pytest.mark.parametrize(
    ("word", "british"),
    [
        ("door", "D AO"),
        ("floor", "F L AO"),
        ("half", "HH AA F"),
        ("last", "L AA S T"),
        ("can't", "K AA N T"),
        ("glass", "G L AA S"),
        ("closer", "K L OW Z AH"),
        ("firm", "F AH M"),
        ("new", "N Y UW"),
    ],
)
def test_british_ways_stand_beside_the_american_one(word, british):
    ways = pronounce(word)
    assert british in ways and len(ways) > 1


@pytest.mark.parametrize("word", ["latch", "scratch", "damaged", "back"])
def test_a_short_a_stays_short(word):
    assert not any("AA" in way.split() for way in pronounce(word))


def test_r_stays_before_a_vowel():
    assert non_rhotic(("V", "EH", "R", "IY")) == ("V", "EH", "R", "IY")
    assert non_rhotic(("CH", "EH", "R")) == ("CH", "EH", "AH")


def test_our_own_words_come_first():
    assert pronounce("kickplate", Pronunciations.read(pronunciations()))[0] == "K IH K P L EY T"


def test_several_pronunciations_of_one_word_are_read():
    assert read_dictionary(["# none", "the DH AH", "the(2) DH IY", ""]) == {
        "the": (("DH", "AH"), ("DH", "IY"))
    }


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("brimstead", "B R IH M S T EH D"),
        ("hollybank", "HH AA L IY B AE NG K"),
        ("thornwick", "TH AO R N W IH K"),
        ("plantroom", "P L AE N T R UW M"),
        ("fd", "EH F D IY"),
        ("b-wing", "B IY W IH NG"),
        ("café", "K AH F EY"),
    ],
)
def test_an_unknown_word_is_guessed_from_its_letters(word, said):
    assert pronounce(word)[0] == said


def test_what_is_guessed_is_known_to_be_a_guess():
    assert is_known("door") and not is_known("brimstead")


@given(st.text(max_size=30))
def test_no_text_breaks_it_and_all_phones_are_those_of_the_model(text):
    assert all(set(way.split()) <= PHONES for way in pronounce(text))


@given(st.text(alphabet="abcdefghijklmnopqrstuvwxyz", min_size=1, max_size=12))
def test_every_word_of_letters_can_be_said(word):
    assert pronounce(word) and pronounce(word)[0]


def test_a_context_is_a_letter_between_its_neighbours():
    assert context("door", 0, (2, 3)) == "##|d|oor"
    assert bundled_letter_model().say("phone") == ("F", "OW", "N")
