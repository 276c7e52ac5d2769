"""A question to the bot, typed at an open check: answered, and no answer to what is asked there."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.talk.door_selection import Answers
from doorround.domain.check import FREE, Check
from doorround.domain.input_result import AnyHeard, By, Heard, OffGrammar, Said
from doorround.domain.query import QueryKind, read_query
from doorround.domain.values import Command, Word


def as_question(
    check: Check, heard: AnyHeard, answers: Answers | None, person: str, now: datetime
) -> AnyHeard:
    """What was typed with its answer, where it asks something that the check does not read."""
    if answers is None or check.stage in FREE:
        return heard
    if not isinstance(heard, OffGrammar) or heard.by is not By.TYPING or not heard.words:
        return heard
    asked = read_query(heard.words)
    if asked is None or asked.what is QueryKind.LOOK:
        return heard
    told = "\n".join(prompt.text for prompt in answers(person, asked, now))
    said = Said(question=None, value=Command(word=Word.ASIDE, text=told), phrase=heard.words)
    return Heard(by=heard.by, said=(said,), words=heard.words)
