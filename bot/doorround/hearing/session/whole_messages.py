"""Messages identified by their first word or as a button's wording: a note, a fault in free text,
a meaning that was offered.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.check import Stage
from doorround.domain.input_result import Said
from doorround.domain.values import Command, DoesNotApply, Word
from doorround.english.picks import picked
from doorround.english.shortcuts import LEAVING, not_applicable, shortcut, signing
from doorround.hearing.lexicon.tokeniser import split_words
from doorround.messages.replying import EVERY_DOOR_HAS_ONE

_AFTER_NOTE = re.compile(r"^\W*note\W*", re.I)
_AFTER_FAULT = re.compile(
    r"^\W*(?:a\s+)?fault(?:,?\s+in\s+my\s+(?:own\s+)?words)?\s*[:–-]\s*", re.I
)

_TAKES_NO_NUMBER = ("condition", "yes_no")
"""Kinds of question that no bare number answers."""


def whole_message(text: str, spelled: Sequence[str], expected: ExpectedInput) -> Said | None:
    """ "Note …", "fault: …", the wording of an offered meaning, or a shortcut; else None."""
    if spelled[0] == "note" and len(spelled) > 1:
        return _command(text, Word.NOTE, _AFTER_NOTE.sub("", text.strip()))
    fault, begins = _AFTER_FAULT.subn("", text.strip())
    if begins and fault:
        return _command(text, Word.OWN_WORDS, fault)
    for place, words in enumerate(expected.offered, 1):
        if tuple(spelled) == tuple(split_words(words)):
            return _command(text, Word.THAT_ONE, str(place))
    numbered = expected.open is not None and expected.open.kind in _TAKES_NO_NUMBER
    if expected.choices and (place_picked := picked(text, bare=numbered)):
        return _command(text, Word.THAT_ONE, str(place_picked))
    if not_applicable(text) and expected.open:
        if expected.open.component == "register":
            return _command(text, Word.ASIDE, EVERY_DOOR_HAS_ONE)
        return Said(question=expected.open.key, value=DoesNotApply(), phrase=text.strip())
    if expected.stage is Stage.SUMMARY and signing(text):
        return Said(question=None, value=Command(word=Word.FINISH), phrase=text)
    command = shortcut(text)
    if command is None or (expected.yes_no and command not in LEAVING):
        return None
    reason = "no access" if command == Word.NO_ACCESS else None
    return Said(question=None, value=Command(word=Word(command), text=reason), phrase=text)


def _command(text: str, word: Word, words: str) -> Said:
    return Said(question=None, value=Command(word=word, text=words), phrase=text)
