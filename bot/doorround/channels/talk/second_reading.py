"""What the grammar did not read, read a second way: entered as a fault, read back, or offered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from doorround.dialogue.expected_input import ExpectedInput, expected_input
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Stage
from doorround.domain.checklist import Question
from doorround.domain.input_result import MAX_OFFERED, AnyHeard, By, Heard, OffGrammar, Said, Unsure
from doorround.hearing.grammar.active_grammar import Polarity
from doorround.hearing.grammar.polarity import polarity_of
from doorround.understanding.understanding_result import Understood

Understand = Callable[[Question | None, str, ExpectedInput], Understood]
"""What a text means at a question at this point of a talk."""

ENGINE = "second understanding"


def read_again(heard: OffGrammar, understand: Understand, expected: ExpectedInput) -> AnyHeard:
    """The same message by the second understanding. A pass, and whatever was spoken, waits for a
    yes; meanings that are only near are offered.
    """
    text = (heard.words or heard.transcript).strip()
    too_long = heard.advice is not None and bool(heard.words)
    if not text or too_long or expected.open is None or heard.nearest:
        return heard
    found = understand(expected.open, text, expected)
    if heard.by is By.VOICE:
        found = found.as_spoken()
    offers = tuple(_as_heard(heard, text, each.meaning) for each in found.offers if each.meaning)
    if found.kind == "nothing" or not (found.meanings or offers):
        return heard
    if found.kind == "offered" or not found.meanings:
        return heard.model_copy(update={"nearest": offers[:MAX_OFFERED]})
    meant = _as_heard(heard, text, found.meanings)
    fault = polarity_of(found.meanings, expected) is Polarity.DEFECT
    if found.kind == "entered" and fault and heard.by is not By.VOICE:
        return meant
    return Unsure(by=heard.by, guesses=(meant, *offers), audio_sha256=heard.audio_sha256)


def read_on(heard: OffGrammar, understand: Understand, check: Check) -> AnyHeard:
    """A message that the grammar does not read, at this point of a check, by the second
    understanding.

    At a read-back and at the summary no question is open that it may answer: there a fault is taken
    that was typed of a part which the words name.
    """
    expected = expected_input(check)
    if expected.open is not None or check.stage not in (Stage.CONFIRMING, Stage.SUMMARY):
        return read_again(heard, understand, expected)
    text = heard.words or ""
    fact = next((each for each in check.checklist.question if each.component == "register"), None)
    if fact is None or not text.strip() or heard.by is By.VOICE or heard.advice:
        return heard
    # as at a question of fact: what is not of any part of the door is no fault there either
    # one who went through stands at the other side
    face = expected.face or "beyond"
    found = understand(fact, text, replace(expected, open=fact, parts=check.questions, face=face))
    waiting = [said.question for said in check.pending.said] if check.pending else []
    told = found.meanings if found.kind in ("entered", "read_back") else ()
    if not told or any(each.question in waiting or not is_fault(check, each) for each in told):
        return heard
    if check.stage is Stage.SUMMARY:
        return Unsure(by=heard.by, guesses=(_as_heard(heard, text, told),))
    added = tuple(each.model_copy(update={"added": True, "hedged": True}) for each in told)
    return _as_heard(heard, text, added)


def _as_heard(heard: OffGrammar, text: str, meaning: tuple[Said, ...]) -> Heard:
    """A meaning with the words as they came."""
    whole = len(meaning) == 1
    said = tuple(
        each.model_copy(update={"verbatim": text}) if whole or not each.verbatim else each
        for each in meaning
    )
    return Heard(by=heard.by, said=said, words=text, engine=ENGINE, audio_sha256=heard.audio_sha256)
