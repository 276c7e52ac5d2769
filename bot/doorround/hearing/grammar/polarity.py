"""The effect of an answer on a door's result, and the costs of accepting it in error."""

from __future__ import annotations

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.costs import Stakes
from doorround.domain.input_result import Said
from doorround.domain.judging.hinges import MIN_HINGES
from doorround.domain.values import (
    Choice,
    Command,
    Condition,
    Count,
    DoesNotApply,
    Measure,
    Value,
    Word,
    YesNo,
)
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.error_costs import read_costs

# These end, confirm or discard something, or time the door: they need the confidence of a pass.
_GRAVE = (Word.YES, Word.FINISH, Word.CANCEL, Word.SHUT)


def polarity_of(said: tuple[Said, ...], expected: ExpectedInput) -> Polarity:
    """PASS if any part of the utterance would pass something; DEFECT if it only names faults; else
    NEITHER.
    """
    kinds = [_one(each, expected) for each in said]
    if Polarity.PASS in kinds:
        return Polarity.PASS
    return Polarity.DEFECT if Polarity.DEFECT in kinds else Polarity.NEITHER


def stakes_of(said: tuple[Said, ...], expected: ExpectedInput) -> Stakes:
    """The stakes of the utterance: those of its costliest part."""
    first, *others = (_stakes(each, expected) for each in said)
    for other in others:
        first = first.dearer(other)
    return first


def _stakes(said: Said, expected: ExpectedInput) -> Stakes:
    costs = read_costs()
    kind = _one(said, expected)
    if kind is not Polarity.PASS:
        return costs.defect if kind is Polarity.DEFECT else costs.other
    if not isinstance(said.value, Command):
        known = _question(said, expected)
        return costs.of_pass(known.component if known else None)
    # a yes passes whatever is waiting for confirmation
    stakes = costs.passing
    for question in expected.last if expected.yes_no else ():
        stakes = stakes.dearer(costs.of_pass(question.component))
    return stakes


def _question(said: Said, expected: ExpectedInput) -> Question | None:
    everything = (expected.open, *expected.others, *expected.last, *expected.parts)
    return next(
        (question for question in everything if question and question.key == said.question), None
    )


def _one(said: Said, expected: ExpectedInput) -> Polarity:
    if isinstance(said.value, Command):
        if said.value.word in _GRAVE:
            return Polarity.PASS
        return Polarity.DEFECT if said.value.word is Word.NO else Polarity.NEITHER
    return value_polarity(said.value, _question(said, expected))


def value_polarity(value: Value, question: Question | None) -> Polarity:
    """PASS: sound or made good, enough hinges, any measurement, any register value, "does not
    apply".

    DEFECT: a fault.
    """
    match value:
        case Condition():
            return Polarity.PASS if value.passes else Polarity.DEFECT
        case YesNo():
            sound = (
                question is None or question.sound is None or (question.sound == "yes") == value.yes
            )
            return Polarity.PASS if sound else Polarity.DEFECT
        case Count():
            return Polarity.PASS if value.number >= MIN_HINGES else Polarity.DEFECT
        case Measure() | DoesNotApply():
            return Polarity.PASS
        case Choice():
            return Polarity.NEITHER if value.chosen == "unknown" else Polarity.PASS
        case _:
            return Polarity.NEITHER
