"""English number words to a hundred and beyond, and the floors that they name."""

import pytest

from doorround.domain.door import Door
from doorround.domain.query import Query, QueryKind, on_floor, read_query
from doorround.domain.schedule.walking_order import position
from doorround.english.floors import floor_name, same_floor, storey
from doorround.english.number_words import cardinal, cardinals, number_in, ordinal
from doorround.hearing.door_names.place_names import floor_ways
from doorround.hearing.lexicon.tokeniser import split_words

NTH = (
    "first",
    "second",
    "third",
    "fourth",
    "fifth",
    "sixth",
    "seventh",
    "eighth",
    "ninth",
    "tenth",
    "eleventh",
    "twelfth",
    "thirteenth",
    "fourteenth",
    "fifteenth",
    "sixteenth",
    "seventeenth",
    "eighteenth",
    "nineteenth",
    "twentieth",
)
TENTHS = (
    "twentieth",
    "thirtieth",
    "fortieth",
    "fiftieth",
    "sixtieth",
    "seventieth",
    "eightieth",
    "ninetieth",
)
COUNTED = (
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
)
TO_A_HUNDRED = range(1, 101)


def ending(number):
    last = 0 if number // 10 % 10 == 1 else number % 10
    return f"{number}{ {1: 'st', 2: 'nd', 3: 'rd'}.get(last, 'th') }"


def test_the_first_twenty_are_called_as_they_are():
    assert [cardinal(number) for number in range(1, 21)] == list(COUNTED)
    assert [ordinal(number) for number in range(1, 21)] == list(NTH)
    assert [ordinal(number) for number in range(20, 100, 10)] == list(TENTHS)


@pytest.mark.parametrize(
    ("number", "count", "nth"),
    [
        (21, "twenty one", "twenty first"),
        (32, "thirty two", "thirty second"),
        (85, "eighty five", "eighty fifth"),
        (99, "ninety nine", "ninety ninth"),
        (100, "one hundred", "one hundredth"),
        (101, "one hundred and one", "one hundred and first"),
        (112, "one hundred and twelve", "one hundred and twelfth"),
        (926, "nine hundred and twenty six", "nine hundred and twenty sixth"),
        (2040, "two thousand and forty", "two thousand and fortieth"),
        (
            9999,
            "nine thousand nine hundred and ninety nine",
            "nine thousand nine hundred and ninety ninth",
        ),
    ],
)
def test_numbers_beyond_twenty_are_put_together(number, count, nth):
    assert (cardinal(number), ordinal(number)) == (count, nth)


def test_every_number_to_ten_thousand_is_read_back_from_its_words():
    for number in range(1, 10_000):
        for words in (*cardinals(number), ordinal(number)):
            assert number_in(words) == number, words


@pytest.mark.parametrize(
    ("words", "number"),
    [
        ("Thirteen", 13),
        ("twenty-first", 21),
        ("13th", 13),
        ("13", 13),
        ("a hundred and one", 101),
        ("zero", 0),
        ("oh", None),
        ("a hundred", 100),
        ("hundred", None),
        ("one two", None),
        ("thirteenish", None),
        ("", None),
        ("-1", None),
    ],
)
def test_what_is_no_number_is_none(words, number):
    assert number_in(words) == number


@pytest.mark.parametrize("number", [10_000, -1])
def test_a_number_without_words_is_refused(number):
    with pytest.raises(ValueError, match="has no words here: 0 to 9999"):
        cardinal(number)


def test_typed_figures_become_the_same_words():
    assert all(
        split_words(str(number)) == tuple(cardinal(number).split()) for number in range(1, 10_000)
    )


# ---- Floors


@pytest.mark.parametrize("number", TO_A_HUNDRED)
def test_a_floor_is_the_same_however_its_number_is_said(number):
    count = cardinal(number)
    nth = ordinal(number)
    said = [
        f"floor {count}",
        f"{nth} floor",
        f"{ending(number)} floor",
        f"level {number}",
        str(number),
        f"Floor {number}",
        f"the {nth} storey",
        nth.replace(" ", "-") + " floor",
        ending(number),
    ]
    assert {floor_name(words) for words in said} == {str(number)}
    assert {storey(words) for words in said} == {number}
    assert not same_floor(f"floor {count}", f"floor {cardinal(number + 1)}")


@pytest.mark.parametrize(
    ("floor", "name", "height"),
    [
        ("ground floor", "0", 0),
        ("Ground", "0", 0),
        ("G", "0", 0),
        ("main floor", "0", 0),
        ("street level", "0", 0),
        ("first floor", "1", 1),
        ("basement", "-1", -1),
        ("B1", "-1", -1),
        ("basement 2", "-2", -2),
        ("level -2", "-2", -2),
        ("minus one", "-1", -1),
        ("cellar", "-1", -1),
        ("sub-basement", "-2", -2),
        ("lower ground floor", "lower ground", -1),
        ("LG", "lower ground", -1),
        ("upper ground", "upper ground", 0.5),
        ("mezzanine", "mezzanine", 0.5),
        ("mezzanine floor", "mezzanine", 0.5),
        ("roof", "roof", 0),
        ("east wing", "east wing", 0),
        ("", "", 0),
    ],
)
def test_floors_by_name(floor, name, height):
    assert (floor_name(floor), storey(floor)) == (name, height)


@pytest.mark.parametrize(
    ("asked", "floor"),
    [
        ("floor thirteen", "ground floor"),
        ("roof", "ground floor"),
        ("first floor", "mezzanine"),
        ("basement", "lower ground"),
        ("ground floor", ""),
        ("floor thirteen", ""),
        ("lower ground floor", "ground floor"),
    ],
)
def test_one_floor_is_not_another(asked, floor):
    assert not on_floor(Query(QueryKind.WRONG, floor=asked), floor)


@pytest.mark.parametrize(
    ("words", "floor"),
    [
        ("what is wrong on floor thirteen", "13"),
        ("what is wrong on the thirteenth floor", "13"),
        ("what's wrong on the 13th floor?", "13"),
        ("what is wrong on the twenty first floor", "21"),
        ("what is wrong on the twenty-first floor", "21"),
        ("what is wrong on floor one hundred and one", "101"),
        ("what is wrong in the basement", "-1"),
        ("what is wrong on the mezzanine", "mezzanine"),
        ("what is wrong on the lower ground floor", "lower ground"),
        ("what is wrong on the ground floor", "0"),
        ("what is wrong on the roof", "roof"),
    ],
)
def test_a_floor_is_asked_about_in_any_of_its_names(words, floor):
    asked = read_query(words)
    assert asked is not None and floor_name(asked.floor) == floor


def test_a_thirteenth_floor_is_walked_as_the_thirteenth():
    assert position(Door(number="1301", floor="thirteenth floor"))[0] == 13


@pytest.mark.parametrize("number", TO_A_HUNDRED)
def test_a_floor_of_the_register_is_heard_by_its_ordinal_and_its_number(number):
    wanted = {f"{ordinal(number)} floor", f"floor {cardinal(number)}", f"on {cardinal(number)}"}
    assert all(
        wanted <= set(floor_ways(floor))
        for floor in (str(number), f"{ordinal(number)} floor", f"{ending(number)} floor")
    )
