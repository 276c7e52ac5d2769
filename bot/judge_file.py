"""A door and its answers from a TOML file, for judging without a logbook. docs/judging.md describes the format."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from pydantic import ValidationError

from bot.domain.checklist import Checklist, Question
from bot.domain.door import Door
from bot.domain.judging.extras import EXTRAS, question_of
from bot.domain.judging.sets import SETS
from bot.domain.judging.whole import Judgement
from bot.domain.meaning import (
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

_MEASURE = re.compile(r"(\d+(?:\.\d+)?|\d+/\d+|\d+ \d+/\d+)\s*(mm|in|kg|s|N|lbf)?")


@dataclass(frozen=True)
class DoorFile:
    """What a file holds. rules: key of a set, None where the file names none."""

    door: Door
    answers: dict[str, Value]
    rules: str | None


def read_door_file(toml_text: str, name: str, checklist: Checklist) -> DoorFile:
    """Read a file. Raises ValueError that names the file, the place and what to write."""
    try:
        given = tomllib.loads(toml_text)
    except tomllib.TOMLDecodeError as error:
        raise ValueError(f"{name} is not TOML: {error}") from error
    if strange := set(given) - {"door", "answers", "rules"}:
        raise ValueError(f'{name}: there is no "{min(strange)}" here. Use rules, [door] and [answers].')
    rules = given.get("rules")
    if rules is not None and rules not in SETS:
        raise ValueError(f'{name}: there is no set of rules "{rules}". Use one of: {", ".join(SETS)}.')
    try:
        door = Door.model_validate({"number": "1", **given.get("door", {})})
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        raise ValueError(f"{name}, door {place}: {first['msg'].removeprefix('Value error, ')}") from error
    return DoorFile(door, _answers(given.get("answers", {}), name, checklist), rules)


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
        except (ValueError, KeyError) as error:
            raise ValueError(f"{name}, answer {key}: {error.args[0]}") from error
    return answers


def _flat(given: dict[str, Any], before: str = "") -> dict[str, Any]:
    """Answers by whole key: in TOML, gaps.sides = … without quotes makes a table."""
    flat: dict[str, Any] = {}
    for name, said in given.items():
        key = f"{before}{name}"
        flat |= _flat(said, f"{key}.") if isinstance(said, dict) else {key: said}
    return flat


def value_of(said: Any, question: Question, checklist: Checklist) -> Value:
    """An answer as a file writes it. Raises ValueError with what may be written."""
    match said:
        case str() if said.startswith("not checked"):
            return CannotCheck(reason=said.partition(":")[2].strip() or None)
        case str() if said.startswith("does not apply"):
            return DoesNotApply(reason=said.partition(":")[2].strip() or None)
    match question.kind:
        case "measure":
            return _measure(said, question)
        case "count" if isinstance(said, int) and not isinstance(said, bool):
            return Count(number=said)
        case "yes_no" if isinstance(said, bool):
            return YesNo(yes=said)
        case "choice" if isinstance(said, str):
            return Choice(chosen=said)
        case "condition" if isinstance(said, str | list):
            faults = [] if said == "sound" else [said] if isinstance(said, str) else said
            return Condition(defects=tuple(_fault(each, question, checklist) for each in faults))
    raise ValueError(f"{said!r} is no answer. Write {_FORMS[question.kind]}.")


_FORMS = {
    "measure": '"3 mm", "1/8 in" or "not measured"',
    "count": "a whole number",
    "yes_no": "true or false",
    "choice": "one of the register's words, or “unknown”",
    "condition": '"sound", a fault, or a list of faults',
}


def _measure(said: Any, question: Question) -> Value:
    if said == "not measured":
        return NotMeasured()
    match = _MEASURE.fullmatch(str(said)) if isinstance(said, str | int | float) else None
    if match is None or isinstance(said, bool):
        raise ValueError(f"{said!r} is no measured value. Write {_FORMS['measure']}.")
    amount = sum((Fraction(part) for part in match[1].split()), Fraction(0))
    unit = Unit(match[2] or question.unit or "mm")
    if _KIND[unit] != _KIND[Unit(question.unit or "mm")]:
        raise ValueError(f"{said!r}: write it in {question.unit}.")
    return Measure(amount=amount, unit=unit)


_KIND = {Unit.MM: "length", Unit.INCH: "length", Unit.KG: "mass", Unit.SECOND: "time", Unit.NEWTON: "force"}
_KIND |= {Unit.POUND_FORCE: "force"}


def _fault(said: Any, question: Question, checklist: Checklist) -> Defect:
    try:
        defect = Defect.model_validate(said if isinstance(said, dict) else {"name": said})
        checklist.fault(question.component, defect.name)
    except (ValidationError, KeyError) as error:
        known = ", ".join(each.name for each in checklist.defect if each.component == question.component)
        raise ValueError(f"{said!r} is no fault of the {question.component}. Use one of: sound, {known}.") from error
    return defect


def judgement_json(door: Door, judgement: Judgement, checklist: Checklist) -> dict[str, Any]:
    """A judgement for programs; docs/judging.md describes every field."""
    told = judgement.model_dump(mode="json", exclude={"together", "findings"})
    across = {(each.rule, each.question) for each in judgement.together}
    targets = checklist.rules.targets
    findings = [
        {
            **finding.model_dump(mode="json"),
            "across": (finding.rule, finding.question) in across,
            "days": targets.days(finding.severity) if finding.severity and not finding.made_good else None,
        }
        for finding in judgement.findings
    ]
    return {"door": door.number, **told, "severity": judgement.severity, "findings": findings}
