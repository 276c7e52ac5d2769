"""Reads a door and its answers from a TOML file, for judging without a logbook. docs/judging.md
describes the format.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pydantic import ValidationError

from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.judging.optional_questions import EXTRAS, question_of
from doorround.domain.judging.rule_sets import SETS
from doorround.domain.toml_text import read_toml
from doorround.domain.validation_errors import placed_error, plain_error
from doorround.domain.values import (
    MM_PER_INCH,
    NEWTONS_PER_POUND_FORCE,
    CannotCheck,
    Choice,
    Condition,
    Count,
    Defect,
    DoesNotApply,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)

# no property of a door needs more digits
_MEASURE = re.compile(
    r"([0-9]{1,6}(?:\.[0-9]{1,20})?|(?:[0-9]{1,6}"
    r" )?[0-9]{1,6}/[1-9][0-9]{0,5})\s*(mm|in|inch|inches|\"|kg|s|N|lbf)?",
    re.IGNORECASE,
)
_UNITS = {unit.value.casefold(): unit for unit in Unit}
_UNITS |= dict.fromkeys(("inch", "inches", '"'), Unit.INCH)
_RANGES: dict[str, tuple[Fraction, Fraction]] = {
    "mm": (Fraction(0), Fraction(5000)),
    "kg": (Fraction(0), Fraction(500)),
    "s": (Fraction(0), Fraction(600)),
    "N": (Fraction(0), Fraction(2000)),
}
"""Plausible maximum of any measurement of a door, by unit: the tallest leaf, the heaviest."""
_GAPS = (Fraction(0), Fraction(300))
INF = float("inf")
_IN_BASE = {Unit.INCH: MM_PER_INCH, Unit.POUND_FORCE: NEWTONS_PER_POUND_FORCE}
"""Display unit of a range → storage unit."""
_MAX_HINGES = 8
_MAX_FAULTS = 99
_MAX_QUOTED = 60

_TAKEN = {"number": "1", "operation": "hinged", "screens": "none"}
"""Assumptions about a door where the file does not specify; documented in docs/judging.md."""

Under = Callable[[str | None, str], Checklist]
"""The checklist under a rule set (None: the organisation's choice) at a site."""


@dataclass(frozen=True)
class DoorFile:
    """Contents of a file. rules: key of a set, None if the file names none. asked: the checklist
    used to parse and judge its answers.
    """

    door: Door
    answers: dict[str, Value]
    rules: str | None
    asked: Checklist


def read_door_file(toml_text: str, name: str, under: Under) -> DoorFile:
    """Read a file. Bare numbers are in the units of the rules that judge it. Raises ValueError
    naming the file, the place and what to write.
    """
    return door_file(read_toml(toml_text, name), name, under)


def door_file(given: dict[str, Any], name: str, under: Under) -> DoorFile:
    """The same for a file already read. Raises ValueError."""
    if strange := set(given) - {"door", "answers", "rules"}:
        raise ValueError(
            f'{name}: there is no "{min(strange)}" here. Use rules, [door] and [answers].'
        )
    rules = given.get("rules")
    if rules is not None and (not isinstance(rules, str) or rules not in SETS):
        raise ValueError(f'{name}: there is no rule set "{rules}". Use one of: {", ".join(SETS)}.')
    described, answers = (_table(given, key, name) for key in ("door", "answers"))
    try:
        door = Door.model_validate({**_TAKEN, **described})
    except ValidationError as error:
        raise ValueError(f"{name}, door {plain_error(error, Door.model_fields)}") from error
    asked = under(rules, door.site)
    return DoorFile(door, _answers(answers, name, asked), rules, asked)


def _table(given: dict[str, Any], key: str, name: str) -> dict[str, Any]:
    table = given.get(key, {})
    if not isinstance(table, dict):
        raise ValueError(
            f"{name}: {key} is a table. Write [{key}] on a line of its own, and its fields"
            " under it."
        )
    return table


def _answers(given: dict[str, Any], name: str, checklist: Checklist) -> dict[str, Value]:
    answers: dict[str, Value] = {}
    for key, said in _flat(given).items():
        try:
            question = question_of(key, checklist)
        except KeyError as error:
            known = ", ".join([*(each.key for each in checklist.question), *EXTRAS])
            raise ValueError(f'{name}: no question "{key}". Use one of: {known}.') from error
        try:
            answers[key] = value_of(said, question, checklist)
        except ValueError as error:
            raise ValueError(f"{name}, answer {key}: {error}") from error
    return answers


def _flat(given: dict[str, Any], before: str = "") -> dict[str, Any]:
    """Answers by full key: in TOML, gaps.sides = … without quotes makes a table."""
    flat: dict[str, Any] = {}
    for name, said in given.items():
        key = f"{before}{name}"
        flat |= _flat(said, f"{key}.") if isinstance(said, dict) else {key: said}
    return flat


def value_of(said: Any, question: Question, checklist: Checklist) -> Value:
    """Parse an answer in a file. Raises ValueError listing what may be written."""
    match said:
        case str() if said.startswith("not checked"):
            return CannotCheck(reason=said.partition(":")[2].strip() or None)
        case str() if said.startswith("does not apply"):
            return DoesNotApply(reason=said.partition(":")[2].strip() or None)
    match question.kind:
        case "measure":
            return _measure(said, question, checklist)
        case "count" if isinstance(said, int) and not isinstance(said, bool):
            return Count(number=_within(said, 0, _MAX_HINGES))
        case "yes_no" if isinstance(said, bool):
            return YesNo(yes=said)
        case "choice" if isinstance(said, str):
            return _choice(said, question)
        case "condition" if isinstance(said, str | list):
            if said == []:
                raise ValueError('An empty list is not an answer. Write "sound", or a fault.')
            faults = [] if said == "sound" else [said] if isinstance(said, str) else said
            return Condition(defects=tuple(_fault(each, question, checklist) for each in faults))
    raise ValueError(f"{_quoted(said)} is not an answer. Write {_FORMS[question.kind]}.")


def _quoted(said: Any) -> str:
    """The given value, shortened to one line."""
    try:
        text = repr(said)
    except (ValueError, RecursionError):
        return "That"
    return text if len(text) <= _MAX_QUOTED else f"{text[:_MAX_QUOTED]} …"


def _within(number: int, least: int, most: int) -> int:
    if not least <= number <= most:
        raise ValueError(
            f"{_quoted(number)} is out of range. Write a whole number from {least} to {most}."
        )
    return number


def _choice(said: str, question: Question) -> Choice:
    """One of the register's words. A rating has several notations."""
    if said != "unknown" and question.fills:
        try:
            Door.model_validate({"number": "1", question.fills: said})
        except ValidationError as error:
            raise ValueError(placed_error(error)[1]) from error
    return Choice(chosen=said)


_FORMS = {
    "measure": '"3 mm", "1/8 in" or "not measured"',
    "count": "a whole number",
    "yes_no": "true or false",
    "choice": "one of the register's words, or “unknown”",
    "condition": '"sound", a fault, or a list of faults',
}


def _measure(said: Any, question: Question, checklist: Checklist) -> Value:
    if said == "not measured":
        return NotMeasured()
    own = _unit(question, checklist)
    match = (
        _MEASURE.fullmatch(str(said).strip())
        if isinstance(said, str | float) or _is_small(said)
        else None
    )
    if match is None:
        _must_not_be_absurd(said, question, own)
        raise ValueError(f"{_quoted(said)} is not a measured value. Write {_FORMS['measure']}.")
    amount = sum((Fraction(part) for part in match[1].split()), Fraction(0))
    unit = _UNITS[(match[2] or own).casefold()]
    if _KIND[unit] != _KIND[own]:
        raise ValueError(f"{_quoted(said)}: write it in {own}.")
    measured = Measure(amount=amount, unit=unit)
    _must_be_possible(measured, question, said)
    return measured


def _must_not_be_absurd(said: Any, question: Question, unit: Unit) -> None:
    """A number with more digits than any property of a door is rejected with the
    permitted range.
    """
    if isinstance(said, bool) or not isinstance(said, int | float) or said in (INF, -INF):
        return
    if abs(said) >= 1:
        _must_be_possible(Measure(amount=Fraction(said), unit=unit), question, said)


def _is_small(said: Any) -> bool:
    return isinstance(said, int) and not isinstance(said, bool) and abs(said) < 10**6


def _unit(question: Question, checklist: Checklist) -> Unit:
    """The unit of a bare number: the question's own or, for an optional gap question, that of the
    rules.
    """
    if question.key in EXTRAS and question.component == "gaps":
        return checklist.rules.unit
    return Unit(question.unit or "mm")


def _must_be_possible(measured: Measure, question: Question, said: Any) -> None:
    match _KIND[measured.unit]:
        case "length":
            unit = "mm"
            amount = measured.mm
        case "force":
            unit = "N"
            amount = measured.newtons
        case _:
            unit = measured.unit.value
            amount = measured.amount
    least, most = _GAPS if question.component == "gaps" else _RANGES[unit]
    if not least <= amount <= most:
        limit = f"{_floored(most / _IN_BASE.get(measured.unit, Fraction(1)))} {measured.unit}"
        raise ValueError(
            f"{_quoted(said)} is out of range. Write a value between {least} and {limit}."
        )


def _floored(amount: Fraction) -> str:
    """Rounded down to a tenth: "11.8"."""
    return f"{float(int(amount * 10) / 10):g}"


_KIND = {
    Unit.MM: "length",
    Unit.INCH: "length",
    Unit.KG: "mass",
    Unit.SECOND: "time",
    Unit.NEWTON: "force",
}
_KIND |= {Unit.POUND_FORCE: "force"}


def _fault(said: Any, question: Question, checklist: Checklist) -> Defect:
    try:
        defect = Defect.model_validate(said if isinstance(said, dict) else {"name": said})
        _within(1 if defect.count is None else defect.count, 1, _MAX_FAULTS)
        checklist.fault(question.component, defect.name)
    except (ValidationError, KeyError) as error:
        known = ", ".join(
            each.name for each in checklist.defect if each.component == question.component
        )
        raise ValueError(
            f"{_quoted(said)} is not a fault of the {question.component}. Use one of: sound,"
            f" {known}."
        ) from error
    return defect
