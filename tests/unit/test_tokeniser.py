"""Typed text as words: numbers, fractions, units, shortenings, slips."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as some
from visits import BOOK

from doorround.hearing.grammar.phrase_numbers import number_of
from doorround.hearing.lexicon.tokeniser import readings, says_twice, split_words


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("Three hinges, all TIGHT.", "three hinges all tight"),
        ("3", "three"),
        ("20", "twenty"),
        ("26", "twenty six"),
        ("100", "one hundred"),
        ("926", "nine hundred and twenty six"),
        ("2000", "two thousand"),
        ("2040", "two thousand and forty"),
        ("1226", "one thousand two hundred and twenty six"),
        ("3mm", "three millimetres"),
        ("3.5 mm", "three point five millimetres"),
        ("3,5", "three point five"),
        ("0.05", "zero point zero five"),
        ('1/8"', "one eighth inch"),
        ("1/8''", "one eighth inch"),
        ("1/8 in", "one eighth inch"),
        ("3/16 inch", "three sixteenths inch"),
        ("3/4", "three quarters"),
        ("3 1/2", "three and one half"),
        ("3½", "three and one half"),
        ("⅛ inch", "one eighth inch"),
        ("FD30S", "thirty s"),
        ("fd 60", "sixty"),
        ("45kg", "forty five kilograms"),
        ("ok", "okay"),
        ("isnt loose", "isn't loose"),
        ("isn’t loose", "isn't loose"),
        ("doesnt latch", "doesn't latch"),
        ("seals: fine; hinges – 3!", "seals fine hinges – three"),
        ("two in the top hinge", "two in the top hinge"),
        ("", ""),
        (" … ", "…"),
    ],
)
def test_typed_text_becomes_the_words_one_would_say(typed: str, words: str) -> None:
    assert " ".join(split_words(typed)) == words


@pytest.mark.parametrize(
    ("typed", "words"), [("20 6", "twenty then six"), ("2.5, 3", "two point five then three")]
)
def test_two_numbers_never_run_together_into_one(typed: str, words: str) -> None:
    assert " ".join(split_words(typed)) == words


@given(some.integers(min_value=0, max_value=9999))
def test_every_whole_number_to_9999_is_said_and_understood_as_itself(number: int) -> None:
    spoken = split_words(str(number))
    for match in BOOK.nfa("number.whole").matches([[(word, 0)] for word in spoken]):
        if match.end == len(spoken):
            assert number_of(match.tags) == number
            return
    assert number == 0, f"{' '.join(spoken)} is no number of the grammar"


@given(some.integers(0, 99), some.integers(0, 999))
def test_decimals_are_exact(whole: int, thousandths: int) -> None:
    spoken = split_words(f"{whole}.{thousandths:03d}")
    match = BOOK.nfa("number.amount").matches([[(word, 0)] for word in spoken])[0]
    assert match.end == len(spoken)
    assert number_of(match.tags) == Fraction(whole * 1000 + thousandths, 1000)


@pytest.mark.parametrize(
    "typed", ["²", "①", "3²", "1" * 5000, "9" * 13, "٣", "1/0", "7/9", "½½", "1/", "/", "'", "''''"]
)
def test_no_sign_and_no_length_of_number_breaks_the_reading(typed: str) -> None:
    assert isinstance(split_words(typed), tuple)


@given(some.text(max_size=200))
def test_any_text_at_all_can_be_split(text: str) -> None:
    assert all(word and word == word.strip() for word in split_words(text))


WORDS = frozenset(
    {"no", "not", "on", "painted", "unpainted", "loose", "closes", "tight", "millimetres"}
)


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("painted", [("painted", 0)]),
        ("paintd", [("painted", 1)]),
        ("apinted", [("painted", 1)]),
        ("painteed", [("painted", 1)]),
        ("paxxted", []),
        ("lose", [("loose", 1)]),
        ("milimetrs", [("millimetres", 2)]),
        ("tihgt", [("tight", 1)]),
    ],
)
def test_slips_are_read_as_the_nearest_words(typed: str, read: list[tuple[str, int]]) -> None:
    assert list(readings(typed, WORDS)) == read


@pytest.mark.parametrize("typed", ["nto", "nt", "n", "ont", "xx"])
def test_short_words_are_taken_as_typed_since_no_and_on_are_one_slip_apart(typed: str) -> None:
    assert readings(typed, WORDS) == ()


def test_a_word_that_is_known_is_never_taken_for_another() -> None:
    assert readings("unpainted", WORDS) == (("unpainted", 0),)
    assert readings("on", WORDS) == (("on", 0),)


@pytest.mark.parametrize(
    ("phrase", "twice"),
    [
        ("drop seal drop seal drops", True),
        ("four hinges four hinges", True),
        ("painted edge seals is painted edge seals", True),
        ("three screws loose bottom three screw loose", True),
        ("worn hinges four hinges worn hinges", True),
        ("top hinge loose bottom hinge loose", False),
        ("head three lock side four", False),
        ("yes yes", False),
        ("frame fine leaf fine", False),
    ],
)
def test_what_is_said_twice(phrase, twice):
    assert says_twice(phrase) is twice
