"""Corrections of the last answer: "no, two", "sorry, four".

"No split" may mean "no, split" or no split at all. So a fault after "no" does not count, unless a
comma separates them and the part is named or is the one read back. No fault is assigned to a part
outside the question unless it is named.
"""

from __future__ import annotations

from collections.abc import Iterator

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Choice, Command, Condition, Value, Word, YesNo
from doorround.english.denials import NEGATIONS
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.grammar_nfa import Match
from doorround.hearing.grammar.negation import denies
from doorround.hearing.grammar.polarity import value_polarity
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import Utterances, bare, named
from doorround.hearing.session.original_spelling import Spelled, words_of

_DENYING = frozenset(word for each in NEGATIONS for word in each.split()[:1])
_ALL_DAMAGE = frozenset(["damage", "damaged"])
NOT_THAT = Command(word=Word.NO)


def corrected(
    text: Spelled, expected: ExpectedInput, utterances: Utterances
) -> tuple[Said, int] | None:
    """The corrected answer and the number of letters repaired; None if the text is no correction.
    At a read-back, a fault after a bare "no" counts only as "no", and the question is asked again.
    """
    refused = None
    for start in _starts(text, expected, utterances):
        denying = denies(words_of(text.tokens, 0, start))
        unclear = denying and not text.sign_before(start)
        for question, match, names in _matches(text, start, expected, utterances):
            value = value_of(match.tags, question.unit)
            if isinstance(value, Command):
                raise ValueError("a command stands where an answer should")
            if start and _is_fault(value, question) and (unclear or not (names or expected.yes_no)):
                if denying and _waits(value, expected):
                    refused = Said(question=None, value=NOT_THAT, phrase=text.text)
                continue
            return _said(question, match, value, text, unclear, denies=start > 0), match.repairs
    return (refused, 0) if refused and expected.yes_no else None


def _starts(text: Spelled, expected: ExpectedInput, utterances: Utterances) -> Iterator[int]:
    """Possible starts of the answer: after "no" or "sorry", and at a read-back also the first word,
    since "no seals" is an answer.
    """
    if expected.yes_no and expected.last:
        yield 0
    for match in utterances.grammar_set.nfa("filler.no").matches(text.tokens):
        if match.end < len(text.tokens):
            yield match.end


def _matches(
    text: Spelled, start: int, expected: ExpectedInput, utterances: Utterances
) -> Iterator[tuple[Question, Match, bool]]:
    """The whole rest as an answer to a question of the last turn, and whether it names its part."""
    face = expected.face
    for question in sorted(reversed(expected.last), key=lambda each: each.side not in (None, face)):
        for body in (bare(question), named(question)):
            for match in utterances.nfa(body).matches(text.tokens, start):
                other = _other_face(question, match) or (start == 0 and _of_one_fault(text, match))
                if match.end == len(text.tokens) and not other:
                    yield question, match, body == named(question)


def _of_one_fault(text: Spelled, match: Match) -> bool:
    """Whether the words deny one fault only, as in "no wedge". "No damage" and "all tight" cover
    more.
    """
    words = words_of(text.tokens, 0, match.end)
    denied = words[0] in _DENYING and not _ALL_DAMAGE.intersection(words)
    return "partial" in match.tags and denied


def _other_face(question: Question, match: Match) -> bool:
    """Whether the words name the other face of the door, and the question is about this one."""
    return question.side == "here" and "face=other side" in match.tags


def _is_fault(value: Value, question: Question) -> bool:
    return (
        isinstance(value, Condition | YesNo) and value_polarity(value, question) is Polarity.DEFECT
    )


def _waits(value: Value, expected: ExpectedInput) -> bool:
    """Whether this fault is among those read back: "no holes" does not deny a split."""
    names = {each.name for each in getattr(value, "defects", ())}
    return not expected.waiting or not names or bool(names & set(expected.waiting))


def _said(
    question: Question, match: Match, value: Value, text: Spelled, unclear: bool, denies: bool
) -> Said:
    """unclear: "no steel" may also be a denial. After a "no" the words contain more than the
    answer, so a partial answer is read back as a full one.
    """
    words = " ".join(words_of(text.tokens, 0, len(text.tokens)))
    doubt = "hedge" in match.tags or (unclear and isinstance(value, Choice))
    partial = "partial" in match.tags
    return Said(
        question=question.key,
        value=value,
        phrase=words,
        correction=True,
        denies=denies,
        hedged=doubt or partial,
        partial=partial and not denies,
    )
