"""The grammar of a register: every name, nothing else, and small however many doors there are."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

from hypothesis import given
from hypothesis import strategies as some
from mill_house import WHICH, door
from visits import BOOK

from doorround.domain.door_reference import (
    AskedQuery,
    DoorReference,
)
from doorround.domain.query import QueryKind
from doorround.hearing.automata.dawg import smallest
from doorround.hearing.decision.scored_hypotheses import ScoredHypotheses
from doorround.hearing.door_names.door_grammar import ALONE, OFFERED
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.engines.recogniser import Guess, Outcome, Recognition

# ---- What an engine listens for


@given(
    some.lists(
        some.lists(some.sampled_from(["one", "two", "oh", "point"]), min_size=1, max_size=4),
        max_size=12,
    )
)
def test_the_smallest_automaton_takes_just_its_phrases(phrases: list[list[str]]) -> None:
    made = smallest(" ".join(phrase) for phrase in phrases)
    for phrase in phrases:
        assert made.accepts(phrase)
        for cut in (phrase[:-1], [*phrase, "two"]):
            assert made.accepts(cut) == (cut in phrases)


def test_what_may_be_said_is_every_name_with_and_without_what_stands_around_it() -> None:
    whole = WHICH.building.automaton(lambda word: True, OFFERED)
    for said in (
        "two fourteen",
        "door two one four",
        "i'm at door two hundred and fourteen",
        "stair b third floor",
        "next door",
        "third floor stair b",
        "the plant room on two",
        "plant room",
        "third floor",
        "yes",
        "the second one",
        "help",
        "two fourteen stair b",
        "twelve in barn",
    ):
        assert whole.accepts(said.split()), said
    for other in ("", "door", "two fifteen", "stair", "third floor third floor", "finish check"):
        assert not whole.accepts(other.split()), other
    assert not WHICH.building.automaton(lambda word: True, ALONE).accepts(["yes"])


def test_whatever_may_be_said_has_a_meaning() -> None:
    for phrase in (
        WHICH.building.phrases["number"]
        | WHICH.building.phrases["place"]
        | WHICH.building.phrases["floor"]
    ):
        found = WHICH.building.find(tuple(phrase.split()))
        assert found is not None and found.doors, phrase


def test_a_name_with_a_word_that_the_engine_does_not_know_is_left_out_and_still_typed() -> None:
    building = NameIndex((door("7", place="scullery gangway"), door("8", place="lift")), BOOK)
    whole = building.automaton(lambda word: word != "scullery", ALONE)
    assert whole.accepts(["lift"]) and whole.accepts(["seven"])
    assert not whole.accepts(["scullery", "gangway"])
    found = building.find(("scullery", "gangway"))
    assert found is not None and [each.number for each in found.doors] == ["7"]


def test_a_register_of_ten_thousand_doors_stays_small_and_tells_them_apart() -> None:
    """How long it takes: python -m tests.benchmarks.bench_register."""
    places = ("east corridor", "west corridor", "stair A", "stair B")
    doors = [
        door(f"{f}.{i:02d}", floor=str(f), place=places[i % 4])
        for f in range(1, 101)
        for i in range(100)
    ]
    which = DoorResolver(NameIndex(doors, BOOK))
    whole = which.building.automaton(lambda word: True, ALONE)
    assert len(whole.arcs) < 10_000
    heard = which.read("door 42.17")
    assert isinstance(heard, DoorReference) and heard.sure and heard.doors[0].number == "42.17"


def test_a_rival_without_the_words_before_a_door_changes_not_what_is_asked() -> None:
    rivals = (Guess("two forty", 0.5, {"total": 2.0}), Guess("look at two fourteen", 0.5))
    heard = Recognition(Outcome.HEARD, "look at two fourteen", 0.9, rivals, "ear", 1.0, 1.0)
    pipeline: Any = SimpleNamespace(name="ear", score_phrases=lambda *_: ScoredHypotheses(rivals))
    words = tuple(["look", "at", "two", "fourteen"])
    asked = WHICH._weighed(pipeline, cast("Any", None), heard, words, {"engine": "ear"})
    assert isinstance(asked, AskedQuery) and not asked.sure
    assert asked.asked.what is QueryKind.LOOK and asked.doors[0].number == "2.40"
