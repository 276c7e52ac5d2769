"""Second understanding of input that the grammar did not parse: entered as a fault, read back, or
offered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from dataclasses import replace

from doorround.channels.talk.same_again import fault_again
from doorround.dialogue.amending import expected_in_change, standing
from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question
from doorround.domain.input_result import (
    MAX_OFFERED,
    SECOND_UNDERSTANDING,
    AnyHeard,
    By,
    Heard,
    OffGrammar,
    Said,
    Unsure,
)
from doorround.domain.values import Command, Condition, Value
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.polarity import polarity_of
from doorround.hearing.session.interpretation import Interpreter, typed
from doorround.understanding.transcripts import together
from doorround.understanding.understanding_result import NOTHING, Offer, Understood

Understand = Callable[[Question | None, str, ExpectedInput], Understood]
"""A text's meaning at a question at this point of a talk."""

_SAYS_NONE = re.compile(r"\W*(?:no|not|none|nothing|without)\b", re.IGNORECASE)

LIKELY = 0.5
"""Probability threshold for reading back speech without regard to its transcription."""


def read_second(heard: AnyHeard, understand: Understand | None, check: Check) -> AnyHeard:
    """A message's result with the second understanding, at this point of a check; without one,
    unchanged.
    """
    if understand is not None and isinstance(heard, OffGrammar):
        return read_on(heard, understand, check)
    if understand is not None and isinstance(heard, Unsure):
        return read_beside(heard, understand, expected_input(check))
    return heard


def hear_change(
    text: str,
    check: Check,
    ids: Collection[str],
    waits: bool,
    reads: tuple[Interpreter, Understand | None],
) -> AnyHeard:
    """An edited message parsed as typed now, by the grammar, or else by the second understanding if
    that reads it as an answer to everything it answered before. A message that gave no answer still
    gives none. ids, waits: as in amend().
    """
    interpreter, understand = reads
    if not ids and not waits:
        return OffGrammar(by=By.EDIT, words=text)
    expected = expected_in_change(check, ids, waits)
    heard = typed(interpreter, text, expected, By.EDIT)
    if understand is None or not isinstance(heard, OffGrammar):
        return heard
    read = read_again(heard, understand, expected)
    best = read.guesses[0] if isinstance(read, Unsure) else read
    told = {said.question for said in best.said} if isinstance(best, Heard) else set()
    return read if told >= {each.question for each in standing(check, ids)} else heard


def read_again(heard: OffGrammar, understand: Understand, expected: ExpectedInput) -> AnyHeard:
    """The same message by the second understanding. A pass, and anything spoken, awaits a yes;
    merely similar meanings are offered.
    """
    text = (heard.words or heard.transcript).strip()
    too_long = heard.advice is not None and bool(heard.words)
    if not text or too_long or expected.open is None or heard.nearest:
        return heard
    found = _understood(heard, text, understand, expected)
    meanings = _on_top(found.meanings, expected)
    offers = tuple(
        _as_heard(heard, text, _on_top(each.meaning, expected))
        for each in found.offers
        if each.meaning
    )
    if found.kind == "nothing" or not (found.meanings or offers):
        return heard
    if found.kind == "offered" or not found.meanings:
        return heard.model_copy(update={"nearest": offers[:MAX_OFFERED]})
    meant = _as_heard(heard, text, meanings)
    fault = polarity_of(meanings, expected) is Polarity.DEFECT
    if found.kind == "entered" and fault and heard.by is not By.VOICE:
        return meant
    return Unsure(by=heard.by, guesses=(meant, *offers), audio_sha256=heard.audio_sha256)


def _on_top(meaning: tuple[Said, ...], expected: ExpectedInput) -> tuple[Said, ...]:
    """The same, with a fault of an answered part marked as an addition."""
    asked = {each.key for each in expected.asked}
    return tuple(
        said.model_copy(update={"added": True})
        if isinstance(said.value, Condition) and said.value.defects and said.question not in asked
        else said
        for said in meaning
    )


def read_on(heard: OffGrammar, understand: Understand, check: Check) -> AnyHeard:
    """A message that the grammar does not parse, at this point of a check, by the second
    understanding.

    At a read-back and at the summary there is no open question to answer: only a typed fault whose
    words name the part is accepted.
    """
    expected = expected_input(check)
    text = heard.words or ""
    if expected.open is not None or check.stage not in (Stage.CONFIRMING, Stage.SUMMARY):
        if again := fault_again(text or heard.transcript, check):
            return Unsure(by=heard.by, guesses=(_as_heard(heard, text, (again,)),))
        return read_again(heard, understand, expected)
    if _SAYS_NONE.match(text):  # "no panels" is not a fault of a panel
        return heard
    fact = next((each for each in check.checklist.question if each.component == "register"), None)
    if fact is None or not text.strip() or heard.by is By.VOICE or heard.advice:
        return heard
    # as at a question of fact, where words about no part of the door are not a fault either;
    # a caretaker who has gone through is on the other side
    face = expected.face or "beyond"
    found = understand(fact, text, replace(expected, open=fact, parts=check.questions, face=face))
    waiting = [said.question for said in check.pending.said] if check.pending else []
    told = found.meanings if found.kind in ("entered", "read_back") else ()
    if not told or any(each.question in waiting or not is_fault(check, each) for each in told):
        return heard
    if check.stage is Stage.SUMMARY:
        told = tuple(
            each.model_copy(update={"added": each.question in check.answers}) for each in told
        )
        return Unsure(by=heard.by, guesses=(_as_heard(heard, text, told),))
    added = tuple(each.model_copy(update={"added": True, "hedged": True}) for each in told)
    return _as_heard(heard, text, added)


def read_beside(heard: Unsure, understand: Understand, expected: ExpectedInput) -> AnyHeard:
    """A spoken fault or command with probability below a half, compared with its free
    transcription: if that means something else, both are offered, passes last, so that the
    caretaker need not deny the first.
    """
    best = heard.guesses[0]
    text = _written_of(best)
    unlikely = heard.by is By.VOICE and best.probability < LIKELY and expected.stage is Stage.ASKING
    fault = polarity_of(best.said, expected) is Polarity.DEFECT
    command = isinstance(best.said[0].value, Command)
    if not (text and unlikely and expected.open and (fault or command)):
        return heard
    found = understand(expected.open, text, expected).as_spoken()
    written = OffGrammar(
        by=heard.by, transcript=text, audio_sha256=heard.audio_sha256, advice=heard.advice
    )
    others = [each.meaning for each in found.offers if each.meaning]
    others = [found.meanings, *others] if found.meanings else others
    if not others or _means(others[0]) == _means(best.said):
        return heard
    offers = [_as_heard(written, text, meaning) for meaning in others]
    offers = [each for each in offers if _means(each.said) != _means(best.said)]
    first = [] if command else [best]
    passing = [each for each in offers if polarity_of(each.said, expected) is Polarity.PASS]
    faults = [*first, *(each for each in offers if each not in passing)]
    nearest = (*faults[: MAX_OFFERED - len(passing[:1])], *passing[:1])
    return written.model_copy(update={"nearest": nearest})


def understood_alone(
    heard: OffGrammar, understand: Understand, expected: ExpectedInput
) -> Understood | None:
    """Result of such a message outside a talk; None if there are no words."""
    if heard.nearest:
        offers = tuple(Offer(each.said, each.words, 1.0) for each in heard.nearest)
        return Understood("offered", offers=offers)
    text = heard.words or heard.transcript
    too_long = heard.advice is not None and bool(heard.words)
    if not text or too_long or expected.open is None:
        return None
    return _understood(heard, text, understand, expected)


def _understood(
    heard: OffGrammar, text: str, understand: Understand, expected: ExpectedInput
) -> Understood:
    """A text's meaning; for a recording, its meaning combined with alternative transcriptions."""
    if heard.by is not By.VOICE:
        return understand(expected.open, text, expected)
    readings = [
        understand(expected.open, each, expected).as_spoken() if each.strip() else NOTHING
        for each in (text, heard.alternative, heard.prompted)
    ]
    return together(readings[0], readings[1], readings[2], expected.open)


def _written_of(best: Heard) -> str:
    """Free transcription of the only segment; "" if there were several."""
    written = {said.hearing.transcript.strip() for said in best.said if said.hearing}
    return written.pop() if len(written) == 1 and not best.lost else ""


def _means(said: tuple[Said, ...]) -> list[tuple[str | None, Value | Command]]:
    return [(each.question, each.value) for each in said]


def _as_heard(heard: OffGrammar, text: str, meaning: tuple[Said, ...]) -> Heard:
    """A meaning with the verbatim words."""
    whole = len(meaning) == 1
    said = tuple(
        each.model_copy(update={"verbatim": text}) if whole or not each.verbatim else each
        for each in meaning
    )
    return Heard(
        by=heard.by,
        said=said,
        words=text,
        engine=SECOND_UNDERSTANDING,
        audio_sha256=heard.audio_sha256,
    )
