"""A caretaker's own words from before, forwarded: marked so, and never counted without a yes."""

from __future__ import annotations

import pytest
from visits import CORRIDOR, UNDERSTANDING, Visit

from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.forwarded import as_forwarded
from doorround.domain.check import Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import By
from doorround.hearing.session.interpretation import typed
from doorround.logbook.how_heard import how
from doorround.logbook.records import EventRecord


def forward(visit: Visit, words: str) -> list[str]:
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    return visit.take(as_forwarded(visit.check, heard))


@pytest.mark.parametrize("words", ["undamaged and firm", "split"])
def test_a_forwarded_answer_waits_for_a_yes_and_says_what_it_is(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    said = forward(visit, words)
    assert said[-1].startswith("You forwarded what you said before. Frame, this side: ")
    assert visit.check.stage is Stage.CONFIRMING and "frame.here" not in visit.check.answers
    visit.type("yes")
    answer = visit.check.answers["frame.here"]
    assert answer.by is By.FORWARD and answer.confirmed


def test_it_is_marked_in_the_message_and_in_the_answer_of_the_logbook() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    forward(visit, "split")
    assert visit.turn.message is not None and visit.turn.message.body["by"] == "forwarded"
    visit.type("yes")
    [entry] = [each for each in visit.turn.enter if each.kind is EntryKind.ANSWERED]
    record = EventRecord.model_construct(kind=entry.kind, body=entry.body)
    assert how(record) == 'forwarded "split", confirmed'


@pytest.mark.parametrize("words", ["yes", "finish check", "skip", "cancel", "no"])
def test_a_forwarded_command_is_none_and_confirms_nothing(words: str) -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe split")
    said = forward(visit, words)
    assert said[-1] == "Tap or say yes or no: Frame, this side: split?" or (
        "neither a command nor a yes" in said[-1]
    )
    assert visit.check.stage is Stage.CONFIRMING and visit.check.misses == 0
    assert "frame.here" not in visit.check.answers


def test_a_forward_never_settles_a_read_back() -> None:
    visit = Visit(CORRIDOR).go_to("frame.here")
    visit.type("maybe split")
    forward(visit, "undamaged and firm")
    assert visit.check.stage is Stage.CONFIRMING and "frame.here" not in visit.check.answers
