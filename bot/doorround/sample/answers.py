"""An invented caretaker's answers at an invented door, with faults developing over time.

The fault rates are invented; only their order is meant to be plausible: closers and seals before
frames and labels (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from random import Random

from doorround.domain.check import Check
from doorround.domain.checklist import Question
from doorround.domain.door import Door
from doorround.domain.input_result import By, Heard, Said
from doorround.domain.values import (
    Command,
    Condition,
    Count,
    Defect,
    Measure,
    Unit,
    Value,
    Word,
    YesNo,
)

FAULTS = (
    ("closer.ajar", "stops_short", 0.22),
    ("closer.full", "slams", 0.14),
    ("closer.full", "leaking", 0.05),
    ("seals", "painted", 0.09),
    ("seals", "loose", 0.10),
    ("seals", "part_missing", 0.06),
    ("hinges.fixings", "screw_loose", 0.12),
    ("hinges.fixings", "screw_missing", 0.06),
    ("clear", "stored", 0.10),
    ("clear", "wedged", 0.16),
    ("sign.here", "missing", 0.07),
    ("leaf.here", "damaged", 0.08),
    ("leaf.here", "dropped", 0.04),
    ("frame.here", "wall_gap", 0.03),
    ("glass.here", "bead_loose", 0.04),
    ("latch", "not_latching", 0.08),
    ("hold_open", "not_releasing", 0.03),
)
"""Question, fault, and occurrences per door and year."""
OVERLOOKED = 0.1
"""Share of existing faults that a caretaker overlooks."""
_USUAL = {
    "closer.seconds": (Unit.SECOND, 5),
    "closer.force_low": (Unit.NEWTON, 25),
    "closer.force_high": (Unit.NEWTON, 20),
}
_GAPS = (3, 3, 2, 3, 3, 3, 2, 3, 3, 2, 3)
_WIDE_GAP = 5
"""Millimetres."""
WIDE = "wide"
_WIDE_A_YEAR = 0.05
"""Doors that drop until the gap at their sides exceeds every rule set's limit."""


def new_faults(days: float, dice: Random) -> dict[str, str]:
    """Faults that developed on one door in so many days, by question."""
    share = days / 365.25
    found = {question: name for question, name, a_year in FAULTS if dice.random() < a_year * share}
    return found | ({"gaps.sides": WIDE} if dice.random() < _WIDE_A_YEAR * share else {})


def answers_to(
    check: Check, asked: Iterable[Question], wrong: Mapping[str, str], dice: Random
) -> Heard:
    """Answers to some questions of a check as one message. wrong: existing faults, by question."""
    said = tuple(_said(each, wrong.get(each.key), check.door, dice) for each in asked)
    return Heard(said=said, words="sample data", by=By.TAP)


def all_answers(check: Check, wrong: Mapping[str, str], dice: Random) -> Heard:
    """All answers to a check as one message. wrong: as for answers_to()."""
    return answers_to(check, asked_of(check), wrong, dice)


def asked_of(check: Check) -> list[Question]:
    """A check's remaining questions about the door, without register fields."""
    return [each for each in check.unanswered if each.component != "register"]


def finish() -> Heard:
    """The word that signs a check."""
    word = Said(question=None, value=Command(word=Word.FINISH), phrase="finish")
    return Heard(said=(word,), words="finish", by=By.TAP)


def _said(question: Question, fault: str | None, door: Door, dice: Random) -> Said:
    value = _value(question, fault if dice.random() > OVERLOOKED else None, door)
    return Said(question=question.key, value=value, phrase="sample data")


def _value(question: Question, fault: str | None, door: Door) -> Value:
    match question.kind:
        case "condition":
            return Condition(defects=(Defect(name=fault),) if fault else ())
        case "count":
            return Count(number=3)
        case "yes_no":
            return YesNo(yes=question.sound != "no")
    if question.key == "seals.width":
        return Measure(amount=Fraction(door.seal_width_mm or 15), unit=Unit.MM)
    # the gaps of a door are the same at each check
    gap = _WIDE_GAP if fault else _GAPS[sum(door.number.encode()) % len(_GAPS)]
    unit, amount = _USUAL.get(question.key, (Unit.MM, gap))
    return Measure(amount=Fraction(amount), unit=unit)
