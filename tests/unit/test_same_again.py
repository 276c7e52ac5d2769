""" "Same again" after a fault is that fault, never a pass."""

from __future__ import annotations

import pytest
from own_words_typed import type_on
from visits import PAIR, Visit


@pytest.mark.parametrize("words", ["same again", "same as before", "ditto"])
def test_after_a_fault_it_is_read_back_as_the_fault(words: str) -> None:
    visit = Visit().go_to("closer.full")
    type_on(visit, "slams", words)
    assert visit.said[-1] == "Closer from 15 degrees: slams. Right?"
    type_on(visit, "yes")
    assert visit.meaning("closer.ajar") == "slams"


def test_the_second_leaf_has_what_the_first_had() -> None:
    visit = Visit(PAIR).go_to("leaf.here")
    type_on(visit, "split", "same as the other")
    assert visit.said[-1] == "Leaf, this side, second leaf: split. Right?"


def test_after_what_was_sound_it_is_read_back_as_sound() -> None:
    visit = Visit().go_to("closer.ajar")
    type_on(visit, "same again")
    assert visit.said[-1] == "Closer from 15 degrees: closes all the way. Right?"
