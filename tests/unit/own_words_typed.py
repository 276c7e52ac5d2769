"""Words typed in one's own way, taken as a talk takes them, for the tests of talks."""

from __future__ import annotations

from visits import CHECKLIST, UNDERSTANDING, Visit

from doorround.channels.talk.second_reading import read_on, read_second
from doorround.dialogue.expected_input import expected_input
from doorround.domain.input_result import OffGrammar
from doorround.hearing.session.interpretation import typed
from doorround.understanding.understand import Understanding

UNDERSTAND = Understanding(CHECKLIST).understand


def typed_on(visit: Visit, words: str) -> list[str]:
    """One line that the grammar does not read, read the second way; what the bot says to it."""
    heard = typed(UNDERSTANDING, words, expected_input(visit.check))
    assert isinstance(heard, OffGrammar)
    return visit.take(read_on(heard, UNDERSTAND, visit.check))


def type_on(visit: Visit, *lines: str) -> list[str]:
    """Lines by the grammar, or else read the second way; what the bot says to the last."""
    for line in lines:
        heard = typed(UNDERSTANDING, line, expected_input(visit.check))
        visit.take(read_second(heard, UNDERSTAND, visit.check))
    return visit.said
