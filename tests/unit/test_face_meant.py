"""A fault goes to the face that the words mean, or is read back: seen from where one stands."""

from __future__ import annotations

import pytest
from own_words_typed import type_on
from visits import Visit, door

NAMED = door(first_side="corridor side")
PAIR = door("P3", leaves="pair", first_side="corridor side")


def at(key: str, pair: bool = False) -> Visit:
    return Visit(PAIR if pair else NAMED).go_to(key)


@pytest.mark.parametrize(
    ("key", "words", "read_back"),
    [
        ("leaf.here", "other side's split", "Leaf, room side: split. Right?"),
        ("leaf.here", "far side's dented", "Leaf, room side: damaged. Right?"),
        # at the room side, what is called the other one is most likely the corridor side
        ("leaf.beyond", "the other side's split", "Leaf, corridor side: split. Right?"),
        ("frame.beyond", "split on the other side", "Frame, corridor side: split. Right?"),
        ("frame.beyond", "split, corridor side", "Frame, corridor side: split. Right?"),
        ("glass.beyond", "cracked from the corridor side", "Glass, corridor side: cracked. Right?"),
        ("glass.beyond", "corridor side leaf has a dent", "Leaf, corridor side: damaged. Right?"),
        ("gaps.sides", "room side leaf has a dent", "Leaf, room side: damaged. Right?"),
        ("closer.full", "corridor side leaf has a dent", "Leaf, corridor side: damaged. Right?"),
        ("closer.full", "the frame's split on the other side", "Frame, room side: split. Right?"),
    ],
)
def test_it_is_read_back_for_the_face_meant(key: str, words: str, read_back: str) -> None:
    visit = at(key)
    type_on(visit, words)
    assert visit.said[-1] == read_back
    before = at(key).check.answers
    assert visit.check.answers == before


@pytest.mark.parametrize(
    ("key", "words"),
    [("leaf.beyond", "split on this side"), ("leaf.here", "dented on the corridor side")],
)
def test_the_face_one_stands_before_needs_no_yes(key: str, words: str) -> None:
    visit = at(key)
    type_on(visit, words)
    assert visit.meaning(key) in ("split", "damaged")


def test_what_is_told_before_another_face_is_named_belongs_to_the_one_asked_about() -> None:
    visit = at("leaf.here")
    type_on(visit, "no dents, room side is split")
    assert visit.said[-1].startswith("Leaf, corridor side: no dents")
    assert visit.said[-1].endswith("Leaf, room side: split. Right?")
    type_on(visit, "yes")
    assert visit.meaning("leaf.here") == "sound" and visit.meaning("leaf.beyond") == "split"


def test_the_second_leaf_of_a_named_face_is_neither_the_first_leaf_nor_the_other_face() -> None:
    visit = at("leaf.beyond", pair=True)
    type_on(visit, "corridor side second leaf dented")
    assert visit.said[-1] == "Leaf, corridor side, second leaf: damaged. Right?"


def test_a_late_fault_that_names_the_first_face_goes_there() -> None:
    visit = at("leaf.beyond")
    visit.type("frame split on the corridor side")
    assert visit.meaning("frame.here") == "split" and visit.meaning("frame.beyond") == "sound"


def test_from_behind_this_side_may_be_another_part_and_waits_for_a_yes() -> None:
    visit = at("glass.beyond")
    type_on(visit, "it's dented on this side too")
    assert visit.meaning("glass.beyond") is None and visit.said[-1].endswith("Right?")


def test_a_face_stays_the_place_on_a_part_that_has_one_question_for_both() -> None:
    visit = at("seals")
    type_on(visit, "room side is painted")
    assert visit.meaning("seals") == "painted, other side"


def test_a_note_may_speak_of_the_other_side_from_behind() -> None:
    visit = at("leaf.beyond")
    type_on(visit, "note other side wants paint")
    assert "other side wants paint" in str(visit.entered[-1].body)
