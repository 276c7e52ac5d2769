"""The new part of an answer, and what it tells the register about the door. Pure."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from doorround.domain.check import Check
from doorround.domain.checklist import Question
from doorround.domain.door import Door
from doorround.domain.judging.contradictions import contradictions
from doorround.domain.judging.formatting import in_words
from doorround.domain.values import Choice, Count, Measure, Unit, Value, YesNo


def more_of(value: Measure, before: Measure) -> Measure:
    """Of merged gaps, only the edges with a new measurement."""
    edges = {spot.edge for spot in value.spots if spot not in before.spots}
    more = tuple(spot for spot in value.spots if spot.edge in edges)
    return value.model_copy(update={"spots": more}) if more else value


def put_together(value: Value) -> bool:
    """Whether a value has several places, comes from the stopwatch, or is a force: it is repeated
    as it was understood.
    """
    if not isinstance(value, Measure):
        return False
    return any(spot.place for spot in value.spots) or value.unit in (
        Unit.SECOND,
        Unit.NEWTON,
        Unit.POUND_FORCE,
    )


def learnt_by(question: Question, value: Value, now: datetime) -> Any:
    """New value of the door's field after an answer; None if it does not change."""
    if question.fills is None:
        return None
    match value:
        case Choice(chosen=chosen):
            return None if chosen == "unknown" else chosen
        case YesNo(yes=True) if question.fills == "alarm_release":
            return now.date().isoformat()
        case Count(number=number):
            return number if number >= 3 else None
        case Measure(unit="kg", amount=amount):
            return float(in_words(amount))
        case Measure():
            return float(in_words(value.mm))
        case _:
            return None


def replaced_with(check: Check, field: str) -> dict[str, Any]:
    """Previous values of all register fields that this visit changes, including this one."""
    was = check.door.model_dump(mode="json")[field]
    if was is None or field in check.learnt:
        return check.replaced
    return {field: was, **check.replaced}


def given_back(check: Check, field: str) -> dict[str, Any]:
    """The check's record of its changes to the register, without this field."""
    return {
        "learnt": tuple(name for name in check.learnt if name != field),
        "replaced": {name: was for name, was in check.replaced.items() if name != field},
    }


def door_with(door: Door, field: str, value: Any) -> Door:
    """The door with one field changed. Raises ValidationError if the value is invalid."""
    return Door.model_validate({**door.model_dump(mode="json"), field: value})


def may_learn(check: Check, field: str) -> bool:
    """Whether an answer may fill a register field: if it is unknown, was filled by this visit, or
    contradicts an answer of this visit.
    """
    if getattr(check.door, field) is None or field in check.learnt:
        return True
    values = {key: answer.value for key, answer in check.answers.items()}
    return field in [each.field for each in contradictions(check.door, values)]
