"""A yes, no or "finish" sent before the prompt that it would settle was shown: it refers to
something else.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.forwarded import as_forwarded
from doorround.dialogue.typed_yes import as_yes_or_no
from doorround.dialogue.unconfirmed_faults import ONE_VALUE, is_fault
from doorround.domain.check import Check, Stage
from doorround.domain.input_result import AnyHeard, Heard, Said, Unsure
from doorround.domain.values import Command, Word
from doorround.messages.receiving import SENT_BEFORE, SENT_BEFORE_SUMMARY


def as_sent(check: Check, heard: AnyHeard, *, forwarded: bool, early: bool) -> AnyHeard:
    """A message with the effect that it may have. forwarded: it is from an earlier moment. early:
    it was sent before the current read-back or summary was shown.
    """
    if forwarded:
        return as_forwarded(check, heard)
    return as_early(check, heard) if early else heard


def as_early(check: Check, heard: AnyHeard) -> AnyHeard:
    """Effect of a message at a read-back or summary that its sender had not seen: a yes confirms
    nothing, a no denies nothing, "finish" signs nothing. Answers about a part are accepted as
    usual; after a "no, …", in addition to the answer that is waiting.
    """
    heard = as_yes_or_no(check, heard)
    if isinstance(heard, Unsure):
        best, *others = heard.guesses
        if _settles_any(check, best) and all(_settles(check, said) for said in best.said):
            return _aside(check, best)
        guesses = tuple(_without_no(check, each) for each in (best, *others))
        return heard.model_copy(update={"guesses": guesses})
    if not isinstance(heard, Heard):
        return heard
    if not _settles_any(check, heard):
        return _without_no(check, heard)
    told = tuple(said for said in heard.said if not _settles(check, said))
    if told:
        return _without_no(check, heard.model_copy(update={"said": told}))
    return _aside(check, heard)


def _aside(check: Check, heard: Heard) -> Heard:
    text = SENT_BEFORE_SUMMARY if _is(heard.said[0], Word.FINISH) else SENT_BEFORE
    value = Command(word=Word.ASIDE, text=text)
    aside = Said(question=None, value=value, phrase=heard.said[0].phrase)
    return heard.model_copy(update={"said": (aside,)})


def _without_no(check: Check, heard: Heard) -> Heard:
    """The message without any denial of the waiting answer, as if there were no "no". An answer
    that would pass a part, or give it another value, waits for a yes itself.
    """
    waiting = {each.question for each in check.pending.said} if check.pending else set()
    return heard.model_copy(
        update={
            "said": tuple(
                _on_its_own(check, said)
                if said.question in waiting and _takes_back(said)
                else _as_corrected(check, said)
                for said in heard.said
            )
        }
    )


def _as_corrected(check: Check, said: Said) -> Said:
    """A correction sent before the summary was shown: unless it reports a fault, it waits for a
    yes.
    """
    waits = check.stage is Stage.SUMMARY and said.correction and not is_fault(check, said)
    return said.model_copy(update={"hedged": True}) if waits else said


def _takes_back(said: Said) -> bool:
    return said.correction and (said.denies or isinstance(said.value, ONE_VALUE))


def _on_its_own(check: Check, said: Said) -> Said:
    fault = is_fault(check, said)
    changed = {"correction": False, "denies": False, "hedged": said.hedged or not fault}
    return said.model_copy(update={**changed, "added": fault and said.question in check.answers})


def _settles_any(check: Check, heard: Heard) -> bool:
    return any(_settles(check, said) for said in heard.said)


def _settles(check: Check, said: Said) -> bool:
    """Whether it would settle what is open: a signature at the end, even during a read-back there;
    a yes or no anywhere except at the summary.
    """
    if _is(said, Word.FINISH):
        return check.open is None
    return check.stage is not Stage.SUMMARY and _is(said, Word.YES, Word.NO)


def _is(said: Said, *words: Word) -> bool:
    return isinstance(said.value, Command) and said.value.word in words
