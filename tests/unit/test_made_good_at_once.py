"""A fault told and put right in one breath is one fault, put right."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, Visit

from doorround.domain.made_good import faults_together
from doorround.domain.values import Defect

WEDGED = Defect(name="wedged")
MENDED = Defect(name="wedged", made_good=True)


@pytest.mark.parametrize(
    ("key", "said", "name"),
    [
        ("clear", "wedged open, took the wedge out", "wedged"),
        ("clear", "wedged open but I took the wedge out", "wedged"),
        ("clear", "hooked open, untied it", "fixed"),
        ("hinges.fixings", "two screws missing, put the screws in", "screw_missing"),
    ],
)
def test_found_and_put_right_in_one_breath_is_one_fault_put_right(
    key: str, said: str, name: str
) -> None:
    visit = Visit(CORRIDOR).go_to(key)
    visit.type(said, "yes")
    [fault] = visit.check.answers[key].value.defects
    assert (fault.name, fault.made_good) == (name, True)


def test_what_was_found_after_it_was_put_right_stands() -> None:
    assert faults_together((MENDED,), (WEDGED,)) == (MENDED, WEDGED)


def test_another_fault_stays_as_it_was_told() -> None:
    propped = Defect(name="propped")
    assert faults_together((propped,), (MENDED,)) == (propped, MENDED)
    assert faults_together((WEDGED, propped), (MENDED,)) == (MENDED, propped)


def test_a_fault_told_again_with_its_place_is_one_fault() -> None:
    split, top = Defect(name="split"), Defect(name="split", where="top")
    bottom = Defect(name="split", where="bottom")
    assert faults_together((split,), (top,)) == (top,)
    assert faults_together((top,), (split,)) == (top,)
    assert faults_together((top,), (bottom,)) == (top, bottom)
    assert faults_together((Defect(name="hole"), split), (top,)) == (Defect(name="hole"), top)


def test_a_fault_put_right_stays_beside_the_same_found_again() -> None:
    again = Defect(name="wedged", where="top")
    assert faults_together((MENDED,), (again,)) == (MENDED, again)


def test_a_fault_of_a_named_face_told_again_without_it_is_there_already() -> None:
    visit = Visit(CORRIDOR).go_to("leaf.here")
    visit.type("this side glass cracked")
    assert visit.type("glass cracked")[0].endswith("I have that already.")
    assert visit.check.open == "leaf.here"
