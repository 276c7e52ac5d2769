"""A yes or a no that was sent before what is read back was shown: it is about something else.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.forwarded import as_forwarded
from doorround.dialogue.typed_yes import as_yes_or_no
from doorround.domain.check import Check
from doorround.domain.input_result import AnyHeard, Heard, Said, Unsure
from doorround.domain.values import Command, Word
from doorround.messages.receiving import SENT_BEFORE


def as_sent(check: Check, heard: AnyHeard, *, forwarded: bool, early: bool) -> AnyHeard:
    """A message as it counts by how and when it was sent. early: before what is read back now."""
    if forwarded:
        return as_forwarded(check, heard)
    return as_early(check, heard) if early else heard


def as_early(check: Check, heard: AnyHeard) -> AnyHeard:
    """A message as it counts at a read-back that its sender had not seen: a yes confirms nothing, a
    no denies nothing. What tells of a part is taken as ever.
    """
    heard = as_yes_or_no(check, heard)
    best = heard.guesses[0] if isinstance(heard, Unsure) and heard.guesses else heard
    if not isinstance(best, Heard) or not any(_settles(said) for said in best.said):
        return heard
    if told := tuple(said for said in best.said if not _settles(said)):
        return best.model_copy(update={"said": told}) if best is heard else heard
    aside = Said(
        question=None,
        value=Command(word=Word.ASIDE, text=SENT_BEFORE),
        phrase=best.said[0].phrase,
    )
    return best.model_copy(update={"said": (aside,)})


def _settles(said: Said) -> bool:
    return isinstance(said.value, Command) and said.value.word in (Word.YES, Word.NO)
