"""Contradictory answers in one utterance: "yes, no", "it was open … it was locked".

None of them is accepted, since it is unclear which was meant; a fault next to them is kept.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.input_result import Said
from doorround.domain.values import Choice, Command, Condition, Count, Word, YesNo
from doorround.english.denials import AFFIRMING, AROUND_YES_NO, REFUSING
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.polarity import polarity_of

_YES = Command(word=Word.YES)
_NO = Command(word=Word.NO)
BUT = frozenset(["but", "though", "although", "only", "except"])
_ONE_VALUE = (YesNo, Choice, Count)


def yes_and_no(words: Sequence[str]) -> bool:
    """Whether the words are only a yes and a no: "yes no", "no wait, yes"."""
    answers = set(words) - AROUND_YES_NO
    yes, no = answers.intersection(AFFIRMING), answers.intersection(REFUSING)
    return bool(yes and no) and answers == yes | no


def with_doubt(said: tuple[Said, ...], words: Iterable[str]) -> tuple[Said, ...]:
    """Hedge a "no" answer that occurs with a "yes", as in "yes, no mark", so it is read back."""
    if not set(words).intersection(AFFIRMING):
        return said
    return tuple(
        each.model_copy(update={"hedged": True}) if each.value == YesNo(yes=False) else each
        for each in said
    )


def with_but(
    said: tuple[Said, ...], words: Iterable[str], expected: ExpectedInput
) -> tuple[Said, ...]:
    """Hedge the pass of a function test if a "but" introduces a fault elsewhere: "closes, but the
    latch doesn't go in" may reverse the pass, so it is read back.
    """
    if not BUT.intersection(words):
        return said
    if all(polarity_of((each,), expected) is not Polarity.DEFECT for each in said):
        return said
    tests = {each.key for each in expected.asked if each.works}
    return tuple(
        each.model_copy(update={"hedged": True})
        if each.question in tests and each.value == Condition()
        else each
        for each in said
    )


def contradicted_keys(said: Iterable[Said]) -> frozenset[str | None]:
    """Keys of questions with contradictory values; None stands for a yes and a no."""
    values: dict[str | None, list[object]] = {}
    for each in said:
        if isinstance(each.value, _ONE_VALUE) or each.value in (_YES, _NO):
            values.setdefault(each.question, []).append(each.value)
    return frozenset(
        key for key, found in values.items() if any(value != found[0] for value in found)
    )


def reply_and_more(
    said: tuple[Said, ...], expected: ExpectedInput, read: Callable[[str], tuple[Said, ...]]
) -> tuple[Said, ...]:
    """Result of a yes or no to a read-back followed by answers: "no … split" is a correction, "yes
    … split" is the fault. "Yes … fine" is ambiguous and gives an empty result, unless the read-back
    was of a pass.

    read: interprets words at the read-back.
    """
    reply = next((each.value for each in said if each.value in (_YES, _NO)), None)
    answers = tuple(each for each in said if each.question)
    if not (expected.yes_no and reply and answers):
        return said
    if reply == _NO:
        found = read(f"no, {', '.join(each.phrase for each in answers)}")
        return tuple(_heard_as(each, answers) for each in found)
    if any(polarity_of((each,), expected) is Polarity.DEFECT for each in answers):
        return answers
    agrees = not expected.waiting and all(each.value == Condition() for each in answers)
    return said if agrees else ()


def _heard_as(said: Said, answers: tuple[Said, ...]) -> Said:
    """Copy time and recognition record from the spoken answer to the reinterpreted one."""
    came = next((each for each in answers if each.question == said.question), answers[0])
    return said.model_copy(update={"at": came.at, "hearing": came.hearing})
