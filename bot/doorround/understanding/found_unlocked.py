""" "It wasn't locked when I came": an answer of the question about the lock, wherever it is told,
and nothing about how the latch is.
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
    """What a text comes to that tells of an unlocked door, at another question than that of the
    lock: that answer, read back; nothing where it is not asked of this door. None for other texts.
    """
    if question.component in (LOCK, "clear") or not tells_unlocked(text):
        return None
    for each in (*expected.asked, *expected.parts):
        if each.key == LOCK:
            return Understood("read_back", (said(each, YesNo(yes=False), text, hedged=True),))
    return NOTHING
