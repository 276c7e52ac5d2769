"""A fault that is told as a correction and may be of the part just left or of the one asked about:
"no, split" at the leaf, behind a sound frame. Which is meant is asked.
"""

from __future__ import annotations

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.input_result import Said
from doorround.domain.values import Condition
from doorround.hearing.grammar.tag_values import value_of
from doorround.hearing.grammar.utterance_grammar import Utterances, bare
from doorround.hearing.session.original_spelling import Spelled, words_of


def either_part(text: Spelled, expected: ExpectedInput, utterances: Utterances) -> tuple[Said, ...]:
    """What the words may mean, for the part just left first; () where they are no such fault.
    What only the part just left can have is hedged, so that it is read back; of the part asked
    about alone, "no, a wedge" may deny it.
    """
    if expected.open is None or expected.yes_no or not expected.last:
        return ()
    for start in _starts(text, utterances):
        left = [_fault(text, start, each, utterances) for each in reversed(expected.last)]
        asked = _fault(text, start, expected.open, utterances)
        corrected = [
            each.model_copy(update={"correction": True, "denies": True}) for each in left if each
        ]
        if corrected and asked:
            return corrected[0], asked
        if corrected:
            return (corrected[0].model_copy(update={"hedged": True}),)
    return ()


def _starts(text: Spelled, utterances: Utterances) -> list[int]:
    """Behind "no, " or "sorry, ": without the comma, "no split" denies it."""
    ends = (match.end for match in utterances.grammar_set.nfa("filler.no").matches(text.tokens))
    return sorted({end for end in ends if end < len(text.tokens) and text.sign_before(end)})


def _fault(text: Spelled, start: int, question: Question, utterances: Utterances) -> Said | None:
    """All the rest as a fault of a question, which it does not name."""
    for match in utterances.nfa(bare(question)).matches(text.tokens, start):
        value = value_of(match.tags, question.unit) if match.end == len(text.tokens) else None
        if isinstance(value, Condition) and value.defects and not match.repairs:
            words = " ".join(words_of(text.tokens, start, len(text.tokens)))
            hedged = "hedge" in match.tags
            return Said(question=question.key, value=value, phrase=words, hedged=hedged)
    return None
