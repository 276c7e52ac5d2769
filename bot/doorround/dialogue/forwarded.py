"""Forwarded messages of the caretaker's own, from another moment and perhaps about another door.

They are marked as such, and none counts without a yes. Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.domain.check import FREE, Check
from doorround.domain.input_result import AnyHeard, By, Heard, Said, Unsure
from doorround.domain.values import Command, Word
from doorround.messages.receiving import FORWARDED_ORDER


def as_forwarded(check: Check, heard: AnyHeard) -> AnyHeard:
    """Effect of a forwarded message: an answer waits for a yes; a command, above all a yes, is
    ignored.
    """
    if check.stage in FREE or not isinstance(heard, Heard | Unsure):
        return heard.model_copy(update={"by": By.FORWARD})
    guesses = heard.guesses if isinstance(heard, Unsure) else (heard,)
    if any(isinstance(said.value, Command) for each in guesses for said in each.said):
        return _no_order(guesses[0])
    marked = tuple(each.model_copy(update={"by": By.FORWARD}) for each in guesses)
    sha256 = guesses[0].audio_sha256 or heard.audio_sha256
    return Unsure(by=By.FORWARD, guesses=marked, audio_sha256=sha256)


def _no_order(heard: Heard) -> Heard:
    value = Command(word=Word.ASIDE, text=FORWARDED_ORDER)
    said = Said(question=None, value=value, phrase=heard.said[0].phrase)
    return heard.model_copy(update={"by": By.FORWARD, "said": (said,)})
