"""The names of doors: every way a number, a place, a floor may be said, and what words mean in a
register.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as some
from mill_house import REGISTER, WHICH, door
from phrase_table import TABLE
from visits import BOOK, CHECKLIST

from doorround.domain.door import Door
from doorround.domain.door_reference import (
    AnyDoorReference,
    DoorCommand,
    DoorReference,
    NoSuchDoor,
)
from doorround.domain.input_result import By, OffGrammar, Silence
from doorround.hearing.adaptation.own_phrases import with_own_words
from doorround.hearing.adaptation.own_words import OwnWords
from doorround.hearing.door_names.confusable_names import one_word_away, sounding_alike
from doorround.hearing.door_names.door_numbers import key, keys, ways
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.door_names.place_names import floor_ways, place_ways
from doorround.hearing.grammar.jsgf import Words
from doorround.hearing.lexicon.pronunciations import Pronunciations


def named(text: str, offered: tuple[Door, ...] = ()) -> list[str]:
    heard = WHICH.read(text, offered)
    return (
        [each.number for each in heard.doors] if isinstance(heard, DoorReference) else [heard.kind]
    )


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (
            "214",
            {"two fourteen", "two one four", "two hundred and fourteen", "two hundred fourteen"},
        ),
        ("201", {"two oh one", "two zero one", "two hundred and one", "two hundred one"}),
        (
            "2.14",
            {
                "two fourteen",
                "two point fourteen",
                "two point one four",
                "two hundred and fourteen",
            },
        ),
        ("1204", {"twelve oh four", "one two oh four", "one thousand two hundred and four"}),
        ("200", {"two hundred", "two oh oh", "two double oh"}),
        ("33", {"thirty three", "three three", "double three"}),
        ("B7", {"b seven", "bravo seven"}),
        ("14a", {"fourteen a", "fourteen alpha", "one four a"}),
        ("B2-07", {"b two oh seven", "bravo two dash oh seven"}),
    ],
)
def test_a_number_is_said_digit_by_digit_in_pairs_and_whole(number: str, said: set[str]) -> None:
    assert said <= set(ways(number))


def test_a_number_of_other_signs_has_no_way_to_be_said() -> None:
    assert ways("Ω5") == () and ways("-") == ()


@given(some.from_regex(r"[A-Z]{0,2}[0-9]{1,4}([./-][0-9]{1,3})?[a-c]?", fullmatch=True))
def test_each_way_to_say_a_number_means_that_number(number: str) -> None:
    for way in ways(number):
        assert key(number) in keys(tuple(way.split())), way


@pytest.mark.parametrize(
    "words", ["", "fourteen stairs", "hundred", "and", "double", "thousand two"]
)
def test_what_is_no_number_spells_none(words: str) -> None:
    assert keys(tuple(words.split())) == frozenset()


def test_places_and_floors_have_their_everyday_names() -> None:
    assert {"by the lift", "lift", "elevator"} <= set(place_ways("by the lift"))
    assert {"store", "east stair", "east staircase"} <= set(place_ways("store by the east stair"))
    assert {"stair b", "stair bravo", "staircase b"} <= set(place_ways("stair B"))
    assert {"room two fourteen", "room two one four"} <= set(place_ways("room 214"))
    for written in ("3", "3rd", "Third floor", "Level 3", "floor three"):
        assert {"third floor", "floor three", "level three", "on three"} <= set(floor_ways(written))
    assert {"ground", "ground floor", "on the ground floor"} <= set(floor_ways("G"))
    assert floor_ways("") == () and place_ways("") == ()


@pytest.mark.parametrize(
    ("text", "doors"),
    [
        ("2.14", ["2.14"]),
        ("214", ["2.14"]),
        ("door 214", ["2.14"]),
        ("Door No. 2.14", ["2.14"]),
        ("two fourteen", ["2.14"]),
        ("door two hundred and fourteen", ["2.14"]),
        ("stair b", ["2.14", "2.40", "3.14"]),
        ("stair b 3rd floor", ["3.14"]),
        ("third floor, stair B", ["3.14"]),
        ("stiar b third flor", ["3.14"]),
        ("the plant room on two", ["21"]),
        ("plant room", ["21", "P1"]),
        ("plant room in the basement", ["P1"]),
        ("kitchen corridor", ["107"]),
        ("p1", ["P1"]),
        ("papa one", ["P1"]),
        ("12", ["12", "12"]),
        ("door 12 Barn", ["12"]),
        ("twelve in mill house", ["12"]),
        ("2.15", ["no_such_door"]),
        ("stair b on the ground floor", ["no_such_door"]),
        ("kitchen corridor door twelve", ["no_such_door"]),
        ("lunch", ["off_grammar"]),
        ("yes", ["off_grammar"]),
        ("all fine", ["off_grammar"]),
        ("  ", ["silence"]),
    ],
)
def test_typed_words_name_doors(text: str, doors: list[str]) -> None:
    assert named(text) == doors


def sure(text: str) -> bool:
    heard = WHICH.read(text)
    return isinstance(heard, DoorReference) and heard.sure


def test_only_one_door_named_without_a_slip_is_sure() -> None:
    assert (
        sure("2.14") and sure("door 214") and sure("stair b third floor") and sure("door 12 barn")
    )
    assert not sure("stair b") and not sure("12")
    assert not sure("stiar b third floor")
    assert not sure("1"), "a part of the number P1"
    assert named("basement") == ["P1"] and not sure("basement"), (
        "the one door there is the one only by chance"
    )


def test_a_slip_in_a_number_is_never_mended_but_its_neighbours_are_named() -> None:
    heard = WHICH.read("door 2.41")
    assert isinstance(heard, NoSuchDoor)
    assert {each.number for each in heard.near} == {"2.14", "2.40", "21"} or {"2.14", "2.40"} <= {
        each.number for each in heard.near
    }


def test_a_number_in_words_is_said_like_a_place() -> None:
    which = DoorResolver(NameIndex((door("Kitchen 2"), door("East door")), BOOK))
    for words, number in (("kitchen two", "Kitchen 2"), ("east door", "East door")):
        heard = which.read(words)
        assert isinstance(heard, DoorReference) and heard.sure and heard.doors[0].number == number


def test_yes_and_no_and_picks_are_heard_only_where_doors_are_offered() -> None:
    assert isinstance(WHICH.read("yes", REGISTER[:1]), DoorCommand)
    assert isinstance(WHICH.read("the second one", REGISTER[:2]), DoorCommand)
    assert isinstance(WHICH.read("the second one"), OffGrammar)
    assert isinstance(WHICH.read(""), Silence)
    assert WHICH.read("next door", (), By.TAP).by is By.TAP


def alike(building: NameIndex, words: str) -> list[str]:
    return [" ".join(name) for name in sounding_alike(building, tuple(words.split()))]


def test_fourteen_sounds_like_forty_and_so_stands_near() -> None:
    assert alike(WHICH.building, "two fourteen") == ["two forty"]
    assert alike(WHICH.building, "three fourteen") == []
    near = list(one_word_away(WHICH.building, ("two", "fourteen")))
    assert near[0] == ("two", "forty") and ("three", "fourteen") in near


def test_places_that_sound_alike_stand_near() -> None:
    places = ("mead store", "meal store", "boiler house", "stair B", "stair D")
    building = NameIndex(
        [door(str(number), place=place) for number, place in enumerate(places, 1)], BOOK
    )
    assert "meal store" in alike(building, "mead store")
    assert "door meal store" in alike(building, "door mead store")
    assert alike(building, "boiler house") == []
    assert "stair d" in alike(building, "stair b")


def test_places_that_sound_the_same_stand_near_and_a_place_is_not_near_itself() -> None:
    building = NameIndex([door("1", place="mead store"), door("2", place="meade store")], BOOK)
    assert alike(building, "mead store") == ["meade store"]
    assert alike(building, "meade store") == ["mead store"]


def test_a_place_sounds_as_the_organisation_says_it() -> None:
    doors = [door("1", place="belvoir store"), door("2", place="beaver store")]
    assert alike(NameIndex(doors, BOOK), "beaver store") == [], "as the dictionary says it"
    own = OwnWords.of_text(
        '[[word]]\nword = "belvoir"\nphones = "B IY V ER"\nconfirmed = true\n', Pronunciations({})
    )
    building = NameIndex(doors, with_own_words(BOOK, own, CHECKLIST))
    assert alike(building, "beaver store") == ["belvoir store"]
    assert alike(building, "belvoir store") == ["beaver store"]


def test_the_doors_are_named_in_the_table_s_ways_and_each_word_beside_a_name_has_an_example() -> (
    None
):
    spoken = {
        word
        for phrases in TABLE["which door"].values()
        for phrase in phrases
        for word in phrase.lower().split()
    }
    written = {
        label.text.lower()
        for rule in ("lead", "link", "next", "neither", "pick")
        for arcs in BOOK.nfa(f"door.{rule}").arcs
        for label, _ in arcs
        if isinstance(label, Words)
    }
    assert written - spoken == set()
    for meaning, phrases in TABLE["which door"].items():
        for phrase in phrases:
            assert short(WHICH.read(phrase, REGISTER[:4])) == meaning, phrase


def short(heard: AnyDoorReference) -> str:
    if isinstance(heard, DoorCommand):
        return f"pick {heard.pick}" if heard.pick else str(heard.word)
    return f"door {heard.doors[0].number}" if isinstance(heard, DoorReference) else heard.kind
