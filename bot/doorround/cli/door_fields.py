"""Door fields on the command line: in the register's own words, or in those of the talk's
buttons.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from pydantic import ValidationError

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.checklist import Checklist, Question
from doorround.domain.door import Door
from doorround.domain.judging.formatting import in_words
from doorround.domain.plain_text import plain_line
from doorround.domain.validation_errors import placed_error, plain_error
from doorround.domain.values import Choice, Count, Measure, NotMeasured, Unit
from doorround.hearing.session.interpretation import Interpreter

WRITTEN_AS_GIVEN = ("site", "building", "floor", "place", "evidence", "remarks")
"""Free-text fields."""
MAX_WORDS = 4
"""Maximum words in a cell that may be an answer; longer text is a sentence, whatever answer it
contains.
"""
UNKNOWN = "unknown"
"""Clears a value: it is asked again at the next check."""


class RegisterWords:
    """Parses fields. understanding: creates the talk's understanding, if the register's own words
    are not enough.
    """

    def __init__(self, checklist: Checklist, understanding: Callable[[], Interpreter]) -> None:
        self._understanding = understanding
        self._asked = {each.fills: each for each in checklist.question if each.fills}

    def read(self, fields: list[str]) -> dict[str, Any]:
        """Values by field, from "rating=FD30S". Raises ValueError listing what may be written."""
        return dict(self._field(each) for each in fields)

    def meant(self, name: str, text: str) -> Any:
        """The talk's understanding of some words at the question that fills a field; None for
        nothing, for "don't know", and for more than a few words.
        """
        question = self._asked.get(name)
        if question is None or len(text.split()) > MAX_WORDS:
            return None
        try:
            return self._understood(question, text)
        except (LookupError, ValueError):
            return None

    def _field(self, text: str) -> tuple[str, Any]:
        name, equals, value = (part.strip() for part in text.partition("="))
        if not equals or not value:
            raise ValueError(f'"{text}": write a field as name=value, such as rating=FD30S.')
        if name in WRITTEN_AS_GIVEN:
            return name, plain_line(value, name)
        if value == UNKNOWN and name in Door.model_fields:
            return name, None
        try:
            Door.model_validate({"number": "1", name: value})
        except ValidationError as error:
            question = self._asked.get(name)
            if question is None:
                raise ValueError(plain_error(error, Door.model_fields)) from error
            return name, self._said(question, value, error)
        return name, value

    def _said(self, question: Question, value: str, error: ValidationError) -> Any:
        """The meaning of the words at the question that fills the field, or an error listing what
        may be said.
        """
        try:
            return self._understood(question, value)
        except LookupError:
            name, why = placed_error(error)
            raise ValueError(
                f"{name}: {why} Or say it as at the door: {', '.join(question.taps)}."
            ) from error

    def _understood(self, question: Question, value: str) -> Any:
        """The meaning of the words; None for "don't know". Raises LookupError for nothing."""
        heard = self._understanding().words(value, ExpectedInput(Stage.ASKING, question))
        meant = (
            heard.said[0].value if heard and len(heard.said) == 1 and not heard.repairs else None
        )
        match meant:
            case Choice(chosen="unknown") | NotMeasured():
                return None
            case Choice(chosen=chosen):
                return chosen
            case Count(number=number):
                return _possible(question, number)
            case Measure():
                return _possible(
                    question, float(in_words(meant.amount if meant.unit is Unit.KG else meant.mm))
                )
        raise LookupError(value)


def _possible(question: Question, number: float) -> float:
    try:
        Door.model_validate({"number": "1", question.fills: number})
    except ValidationError as error:
        raise ValueError(plain_error(error)) from error
    return number
