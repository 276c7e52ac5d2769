"""Messages that are read by how they begin, or as the words of a button: a note, a fault in any
words, a meaning that was offered.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.input_result import Said
from doorround.domain.values import Command, Word
from doorround.hearing.lexicon.tokeniser import split_words

_AFTER_NOTE = re.compile(r"^\W*note\W*", re.I)
_AFTER_FAULT = re.compile(r"^\W*fault\s*[:–-]\s*", re.I)


def whole_message(text: str, spelled: Sequence[str], expected: ExpectedInput) -> Said | None:
    """ "Note …", "fault: …" or the words of a meaning that was offered; None for anything else."""
    if spelled[0] == "note" and len(spelled) > 1:
        return _command(text, Word.NOTE, _AFTER_NOTE.sub("", text.strip()))
    told, begins = _AFTER_FAULT.subn("", text.strip())
    if begins and told:
        return _command(text, Word.OWN_WORDS, told)
    for place, words in enumerate(expected.offered, 1):
        if tuple(spelled) == tuple(split_words(words)):
            return _command(text, Word.THAT_ONE, str(place))
    return None


def _command(text: str, word: Word, words: str) -> Said:
    return Said(question=None, value=Command(word=word, text=words), phrase=text)
