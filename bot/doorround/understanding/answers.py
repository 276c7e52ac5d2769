"""Answers that are values: register facts, yes or no, counts, measurements."""

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
    """Interpret a text at a question that asks for a value."""
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
    if found.sure and not _tells_other_fault(question, text):
        answer = said(question, values[0][0], text, hedged=True)
        if _is_unknown(values[0][0]):
            return Understood("entered", (answer.model_copy(update={"hedged": False}),))
        return Understood("read_back", (answer,))
    near = [each for each in ranker.rank(question.says, text) if each[1] >= LEAST_NEAR]
    values += [(_choice(question, name), score) for name, score in near]
    offers = offers_of(question, values, text, checklist)
    return Understood("offered", offers=offers) if offers else NOTHING


def with_one_value(question: Question, text: str, found: Understood) -> Understood:
    """Read a value back instead of only offering it, if the known words give one value and the rest
    no fault: "gauge pulled twenty-eight". found: the current offers, which are kept.
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
"""Parts whose faults are reported during measurements."""


def _tells_other_fault(question: Question, text: str) -> bool:
    """Whether a text at a question of fact reports a fault of the leaf, the frame or the closer, of
    which the fact says nothing: "stops dead" is no door stop, and "not right" is no "none". What is
    missing may be the fact itself: "hasn't got one".
    """
    if question.component != "register" or question.kind != "choice":
        return False
    told = (fault.name for each in _FAULTY for fault in read(each, text).faults)
    return any(name and "missing" not in name for name in told)


_FAULTY = ("leaf", "frame", "closer")


def _tells_fault(component: str, text: str) -> bool:
    """Whether any words of a text report a fault of this component."""
    found = read(component, text)
    return any(fault.name and fault.component == component for fault in found.faults)


def _one_measure(question: Question, text: str) -> Measure | None:
    """The only figure in a text; None if it is a bound, a guess or from another day, or may just be
    the word "one".
    """
    found = measure(text, str(question.unit), large=question.says == "measure.size")
    plain = " ".join(token.text for token in tokens_of(text))
    kept = any(f" {each} " in f" {plain} " for each in _no_plain_figure())
    if len(found.amounts) != 1 or kept or found.amounts[0] <= 1:
        return None
    return Measure(amount=found.amounts[0], unit=_unit(found.unit))


@lru_cache(maxsize=1)
def _no_plain_figure() -> frozenset[str]:
    """Words that make a figure in the same text no more than an offer, except "half"."""
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
