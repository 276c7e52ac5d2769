"""A whole door judged, for the tests of judging."""

from __future__ import annotations

from fractions import Fraction

from visits import CHECKLIST, CORRIDOR

from doorround.domain.checklist import Checklist
from doorround.domain.door import Door
from doorround.domain.judging.door_verdict import Judgement, judge_door
from doorround.domain.values import Condition, Count, Defect, Measure, Unit, Value, YesNo


def mm(amount: str) -> Measure:
    return Measure(amount=Fraction(amount), unit=Unit.MM)


def faults(*names: str) -> Condition:
    return Condition(defects=tuple(Defect(name=name) for name in names))


def well(fire_door: Door, checklist: Checklist = CHECKLIST) -> dict[str, Value]:
    """Every question of a door answered as if all were well."""
    best: dict[str, Value] = {
        "condition": Condition(),
        "count": Count(number=3),
        "yes_no": YesNo(yes=True),
    }
    asked = [
        question for question in checklist.for_door(fire_door) if question.component != "register"
    ]
    return {each.key: best.get(each.kind, mm("3")) for each in asked}


def judged(
    fire_door: Door = CORRIDOR, checklist: Checklist = CHECKLIST, **answers: Value
) -> Judgement:
    changed = {key.replace("__", "."): value for key, value in answers.items()}
    return judge_door(fire_door, {**well(fire_door, checklist), **changed}, checklist)
