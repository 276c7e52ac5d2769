"""Input during an open check that does not answer its question: a query, a look at a repair
elsewhere, another door first.
"""

from __future__ import annotations

import re
from datetime import datetime

from doorround.channels.talk.door_selection import Answers
from doorround.domain.check import FREE, Check
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said
from doorround.domain.query import BEGINS, read_query
from doorround.domain.values import Command, Word
from doorround.english.denials import CLAUSES
from doorround.english.shortcuts import plain, shortcut
from doorround.hearing.door_names.door_numbers import NUMBER_WORDS
from doorround.messages import receiving

_LOOK = re.compile(
    r"look at (?:(?:(?:the|a) )?repairs?(?: (?:at|of) [\w ./-]{1,40})?"
    r"|(?:the )?(?:door|defect)(?: number)?(?P<number>(?: [\w./-]+){1,5}))"
)
_TELLS = frozenset((*CLAUSES, "is", "are", "has", "have", "was", "were"))
"""Words that never occur in a location: they start a report."""


def as_question(
    check: Check, heard: AnyHeard, answers: Answers | None, person: str, now: datetime
) -> AnyHeard:
    """An aside with its reply, if the input asks something outside the check.

    For a recording, which no check grammar covers here, only its free transcription is used, and
    only for a look or another door: neither enters anything about the door.
    """
    if check.stage in FREE or not isinstance(heard, OffGrammar):
        return heard
    words = heard.words or heard.transcript
    if _is_look(plain(words)):
        reply = receiving.check_open_look(check.door.number, plain(words))
        return _command(heard, words, Command(word=Word.ASIDE, text=reply))
    if heard.by is By.VOICE and "door" in words and shortcut(words) == Word.ANOTHER_DOOR:
        return _command(heard, words, Command(word=Word.ANOTHER_DOOR))
    if answers is None or heard.by is not By.TYPING or not words:
        return heard
    asked = read_query(words)
    if asked is None or asked.what in BEGINS:
        return heard
    reply = "\n".join(prompt.text for prompt in answers(person, asked, now))
    return _command(heard, words, Command(word=Word.ASIDE, text=reply))


def _command(heard: OffGrammar, words: str, command: Command) -> Heard:
    said = Said(question=None, value=command, phrase=words)
    return Heard(by=heard.by, said=(said,), words=words, audio_sha256=heard.audio_sha256)


def _is_look(words: str) -> bool:
    """Whether words ask for a look elsewhere: "look at the door it is split" reports a fault."""
    found = _LOOK.fullmatch(words)
    if found is None or _TELLS.intersection(words.split()):
        return False
    return all(
        len(each) == 1 or each in NUMBER_WORDS or any(sign.isdigit() for sign in each)
        for each in (found["number"] or "").split()
    )
