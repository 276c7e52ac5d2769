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
