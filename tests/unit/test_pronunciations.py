"""British ways in the engines' dictionary: made by rule, only for words of the grammar."""

import pytest
from visits import BOOK

from doorround.config.resources import british
from doorround.hearing.lexicon.pronunciations import PHONES, read_dictionary
from scripts.make_british import lines

WAYS = read_dictionary(british().read_text(encoding="utf-8").splitlines())


def test_the_file_is_what_the_rules_make_of_the_grammar():
    assert british().read_text(encoding="utf-8").splitlines() == list(lines())


@pytest.mark.parametrize(
    ("word", "way"),
    [
        ("door", "D AO"),
        ("closer", "K L OW Z AH"),
        ("can't", "K AA N T"),
        ("half", "HH AA F"),
        ("glass", "G L AA S"),
        ("fast", "F AA S T"),
        ("firm", "F AH M"),
        ("fire", "F AY AH"),
        ("four", "F AO"),
    ],
)
def test_words_said_otherwise_in_britain(word, way):
    assert tuple(way.split()) in WAYS[word]


@pytest.mark.parametrize("word", ["latch", "seals", "damaged", "missing", "are"])
def test_words_said_alike_have_none(word):
    assert word not in WAYS


def test_only_words_of_the_grammar_and_nothing_as_short_as_one_phone():
    assert set(WAYS) <= BOOK.vocabulary
    assert all(len(way) > 1 and set(way) <= PHONES for ways in WAYS.values() for way in ways)
