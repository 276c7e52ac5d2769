"""A fault told at a read-back and a check signed, for the tests of unconfirmed faults."""

from __future__ import annotations

from test_dialogue_laws import PASSES, UNHEARD, heard_at
from visits import NOON, UNDERSTANDING, Visit

from doorround.dialogue.amending import stand_at
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.turn import take_turn
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By, Heard, OffGrammar, Unsure
from doorround.hearing.session.interpretation import typed


def signed(visit: Visit) -> dict[str, object]:
    [entry] = [entry for entry in visit.entered if entry.kind is EntryKind.SIGNED]
    return entry.body


def step(visit: Visit, how: str, words: str) -> None:
    """One thing that comes in: a fault of which hearing is not sure, something said, a reply to
    another question.
    """
    if how == "noise":
        visit.take(UNHEARD[int(words)])
    elif how == "reply" and visit.check.stage in (Stage.ASKING, Stage.CONFIRMING, Stage.SUMMARY):
        if words in [question.key for question in visit.check.questions]:
            there = stand_at(visit.check, words)
            visit.turn = take_turn(
                there, typed(UNDERSTANDING, PASSES[words], expected_input(there)), NOON
            )
            visit.entered += visit.turn.enter
    elif how == "fault":
        heard = typed(UNDERSTANDING, words, expected_input(visit.check), By.VOICE)
        visit.take(Unsure(guesses=(heard,)) if isinstance(heard, Heard) else OffGrammar())
    elif how == "say":
        visit.take(heard_at(visit.check, words))
