"""Answers that are values: what a door is, yes or no, how many, how wide."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from doorround.domain.checklist import Checklist, Question
from doorround.domain.values import (
    CannotCheck,
    Choice,
    Count,
    Measure,
    NotMeasured,
    Unit,
    Value,
    YesNo,
)
from doorround.understanding.choosing import choose
from doorround.understanding.clause_reader import read
from doorround.understanding.counting import count
from doorround.understanding.meanings import offers_of, said
from doorround.understanding.measuring import measure
from doorround.understanding.ranking import Ranker
from doorround.understanding.understanding_result import NOTHING, Understood
from doorround.understanding.word_data import has_choices, measure_words, words_of
from doorround.understanding.words_of_text import tokens_of

LEAST_NEAR = 0.2


def understand_value(
    question: Question, text: str, checklist: Checklist, ranker: Ranker
) -> Understood:
    """What a text means at a question that asks for a value."""
    if question.kind == "measure":
        return _measured(question, text, checklist)
    if question.kind == "count":
        return _counted(question, text, checklist)
    if has_choices(question.says):
        return _chosen(question, text, checklist, ranker)
    return NOTHING


def _chosen(question: Question, text: str, checklist: Checklist, ranker: Ranker) -> Understood:
    found = choose(question.says, text)
    values = [(_choice(question, name), 1.0) for name in found.values]
    if found.sure:
        answer = said(question, values[0][0], text, hedged=True)
        if _is_unknown(values[0][0]):
            return Understood("entered", (answer.model_copy(update={"hedged": False}),))
        return Understood("read_back", (answer,))
    near = [each for each in ranker.rank(question.says, text) if each[1] >= LEAST_NEAR]
    values += [(_choice(question, name), score) for name, score in near]
    offers = offers_of(question, values, text, checklist)
    return Understood("offered", offers=offers) if offers else NOTHING


def with_one_value(question: Question, text: str, found: Understood) -> Understood:
    """What was only offered, read back where the words that were read tell one value, and the
    others no fault: "gauge pulled twenty-eight". found: what is offered, and goes on beside it.
    """
    if any(_tells_fault(component, text) for component in _TOLD_BESIDE):
        return found
    value: Value | None = _one_measure(question, text) if question.kind == "measure" else None
    if question.kind == "choice" and has_choices(question.says):
        chosen = choose(question.says, text)
        value = Choice(chosen=chosen.values[0]) if chosen.likely else None
    if value is None or _is_unknown(value):
        return found
    others = tuple(each for each in found.offers if each.meaning[0].value != value)
    return Understood("read_back", (said(question, value, text, hedged=True),), others)


_TOLD_BESIDE = ("leaf", "frame", "closer", "latch", "seals", "hinges")
"""Parts whose faults are told while something is measured."""


def _tells_fault(component: str, text: str) -> bool:
    """Whether any words of a text tell a fault of this component."""
    found = read(component, text)
    return any(fault.name and fault.component == component for fault in found.faults)


def _one_measure(question: Question, text: str) -> Measure | None:
    """The one figure of a text; none where it is a bound, a guess or of another day, or may be the
    word "one" alone.
    """
    found = measure(text, str(question.unit), large=question.says == "measure.size")
    plain = " ".join(token.text for token in tokens_of(text))
    kept = any(f" {each} " in f" {plain} " for each in _no_plain_figure())
    if len(found.amounts) != 1 or kept or found.amounts[0] <= 1:
        return None
    return Measure(amount=found.amounts[0], unit=_unit(found.unit))


@lru_cache(maxsize=1)
def _no_plain_figure() -> frozenset[str]:
    """Words beside which a figure is only offered; "three and a half" is one."""
    doubts = {*words_of("doubt"), *words_of("hedge"), *words_of("past")} - {"half", "halfway"}
    guesses = measure_words("guess")["phrases"]
    return frozenset((*doubts, *guesses, *measure_words("beyond")["phrases"], "not"))


def _is_unknown(value: Value) -> bool:
    return isinstance(value, CannotCheck) or value == Choice(chosen="unknown")


def _choice(question: Question, name: str) -> Value:
    if question.kind == "yes_no":
        return CannotCheck() if name == "cannot" else YesNo(yes=name == "yes")
    return Choice(chosen=name)


def _counted(question: Question, text: str, checklist: Checklist) -> Understood:
    found = count(text)
    if found.sure:
        return Understood(
            "read_back", (said(question, Count(number=found.numbers[0]), text, hedged=True),)
        )
    if not found.numbers:
        return NOTHING
    values: list[tuple[Value, float]] = [(Count(number=each), 1.0) for each in found.numbers]
    values.append((CannotCheck(), 0.0))
    return Understood("offered", offers=offers_of(question, values, text, checklist))


def _measured(question: Question, text: str, checklist: Checklist) -> Understood:
    found = measure(text, str(question.unit), large=question.says == "measure.size")
    if found.absent and found.sure:
        return Understood("entered", (said(question, NotMeasured(), text),))
    several = question.says == "measure.size" and len(found.amounts) > 1
    if found.sure and found.amounts and not several:
        value = Measure(amount=found.amounts[0], unit=_unit(found.unit))
        return Understood("read_back", (said(question, value, text, hedged=True),))
    if not found.amounts and not found.no_figure:
        return NOTHING
    offers = offers_of(question, _measures(found.amounts, found.unit), text, checklist)
    return Understood("offered", offers=offers)


def _measures(amounts: tuple[Fraction, ...], unit: str) -> Iterator[tuple[Value, float]]:
    for amount in amounts:
        yield Measure(amount=amount, unit=_unit(unit)), 1.0
    yield NotMeasured(), 0.0


def _unit(unit: str) -> Unit:
    return Unit(unit)
