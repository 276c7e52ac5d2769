"""A fault phrased as a correction that may be about the previous part or the current one: "no,
split" at the leaf, after a sound frame. The bot asks which. "No, split on the other side" means the
other face of either, which nobody has passed.
"""

from __future__ import annotations

from doorround.dialogue.expected_input import ExpectedInput, twins
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Condition
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import Utterances, bare
from doorround.hearing.session.original_spelling import Spelled, words_of

ONE_FACE = ("face=this side", "face=other side")


def either_part(text: Spelled, expected: ExpectedInput, utterances: Utterances) -> tuple[Said, ...]:
    """Possible meanings, for the previous part first; () if the words are no such fault. A fault
    that only the previous part can have is hedged, so it is read back. One that only the current
    part can have is omitted: "no, a wedge" may deny it.
    """
    if expected.open is None or expected.yes_no or not expected.last:
        return ()
    for start in _starts(text, utterances):
        left = [_fault(text, start, each, expected, utterances) for each in reversed(expected.last)]
        asked = _fault(text, start, expected.open, expected, utterances)
        last = {each.key for each in expected.last}
        corrected = [_as_correction(each, each.question in last) for each in left if each]
        if corrected and asked:
            return corrected[0], asked
        if corrected:
            return (corrected[0].model_copy(update={"hedged": True}),)
    return ()


def _as_correction(said: Said, of_last: bool) -> Said:
    """of_last: it is about the face that was answered. On the other face it reverses nothing."""
    return said.model_copy(update={"correction": True, "denies": True}) if of_last else said


def _starts(text: Spelled, utterances: Utterances) -> list[int]:
    """Starts after "no, " or "sorry, ": without the comma, "no split" denies it."""
    ends = (match.end for match in utterances.grammar_set.nfa("filler.no").matches(text.tokens))
    return sorted({end for end in ends if end < len(text.tokens) and text.sign_before(end)})


def _fault(
    text: Spelled, start: int, question: Question, expected: ExpectedInput, utterances: Utterances
) -> Said | None:
    """The whole rest as a fault of a question, or of its other face, without naming the part."""
    for match in utterances.nfa(bare(question)).matches(text.tokens, start):
        about = _face_meant(question, match.tags, expected)
        if about is None or match.end != len(text.tokens):
            continue
        value = value_of(_faceless(question, match.tags), question.unit)
        if isinstance(value, Condition) and value.defects and not match.repairs:
            words = " ".join(words_of(text.tokens, start, len(text.tokens)))
            asked = {each.key for each in (*expected.asked, *expected.last)}
            return Said(
                question=about.key,
                value=value,
                phrase=words,
                hedged="hedge" in match.tags,
                added=about.key not in asked,
            )
    return None


def _face_meant(
    question: Question, tags: tuple[str, ...], expected: ExpectedInput
) -> Question | None:
    """The question itself, or its twin for the other face if the words name that; None if there is
    no twin.
    """
    if question.side != "here" or "face=other side" not in tags:
        return question
    known = (*expected.asked, *expected.parts)
    same = (each for each in known if twins(each, question) and each.side == "beyond")
    return next((each for each in same if each.leaf == question.leaf), None)


def _faceless(question: Question, tags: tuple[str, ...]) -> tuple[str, ...]:
    """The tags without a single face, if the question is about one face: it is no place on it."""
    return tuple(tag for tag in tags if not (question.side and tag in ONE_FACE))
