""" "It wasn't locked when I came": at any question, this answers the one about the lock, and says
nothing about the latch's condition.
"""

from __future__ import annotations

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.checklist import Question
from doorround.domain.values import YesNo
from doorround.understanding.meanings import said
from doorround.understanding.understanding_result import NOTHING, Understood
from doorround.understanding.words_of_text import tokens_of

LOCK = "lock"
_BESIDE = frozenset(
    [
        *("it", "the", "door", "this", "that", "one", "was", "were", "is", "had", "been", "found"),
        *("left", "just", "even", "actually", "at", "all", "when", "as", "i", "we", "came", "come"),
        *("got", "get", "here", "there", "arrived", "tried", "try", "first", "mate"),
    ]
)
_UNLOCKED = ({"not", "locked"}, {"unlocked"}, {"never", "locked"})


def tells_unlocked(text: str) -> bool:
    """Whether a whole text says that the door was not locked."""
    return {token.text for token in tokens_of(text)} - _BESIDE in _UNLOCKED


def read_unlocked(question: Question, text: str, expected: ExpectedInput) -> Understood | None:
    """Interpret a text about an unlocked door at any question other than the lock's: that answer,
    read back, or NOTHING if this door has no such question. None for other texts.
    """
    if question.component in (LOCK, "clear") or not tells_unlocked(text):
        return None
    for each in (*expected.asked, *expected.parts):
        if each.key == LOCK:
            return Understood("read_back", (said(each, YesNo(yes=False), text, hedged=True),))
    return NOTHING
