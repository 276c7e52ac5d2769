"""Caption of a voice note or photo: always entered as a note, and taken as if typed, with care: it
may have been written about what is shown, long before it arrived.

Pure: reads only its arguments.
"""

from __future__ import annotations

from datetime import datetime

from doorround.dialogue.early_reply import as_early
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_result import Turn
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.domain.input_result import AnyHeard, Heard, OffGrammar, Said, Unsure
from doorround.domain.values import Command
from doorround.english.denials import CLAUSES
from doorround.messages import noting

_TELLS = frozenset((*CLAUSES, "is", "are", "has", "have", "was", "were", "needs", "looks", "got"))
_SHORT = ("'s", "’s", "n't", "n’t", "'re", "’re")
TAKEN_AT = (Stage.ASKING, Stage.CONFIRMING, Stage.SUMMARY)
"""Stages in which a caption may be more than a note."""


def note_caption(check: Check, caption: str, now: datetime) -> Turn:
    """Enter a caption as a note. The state of the talk does not change."""
    builder = TurnBuilder(check, now)
    builder.enter(EntryKind.NOTED, text=caption, audio_sha256=None)
    builder.say(noting.caption_noted(caption))
    turn = builder.turn()
    return Turn(check, turn.say, turn.enter)


def as_caption(check: Check, heard: AnyHeard, shown: str | None) -> Heard | Unsure | None:
    """What a caption may enter beyond its note; None for nothing. shown: question that the picture
    or recording belongs to.

    Never a command, nor a yes or no: what it might settle may have been asked after it was sent. A
    fault is entered as if it were typed, for what is shown. Anything else answers the open question
    only, if it is a phrase of the grammar, and waits for a yes.
    """
    if check.stage not in TAKEN_AT or not isinstance(heard, Heard | Unsure):
        return None
    best = heard.guesses[0] if isinstance(heard, Unsure) else heard
    if any(isinstance(each.value, Command) for each in best.said):
        return None
    here = check.stage is Stage.ASKING and shown in (None, check.open) and best.engine == "typed"
    said = tuple(new for each in best.said if (new := _careful(check, each, here)))
    if not said:
        return None
    meant = best.model_copy(update={"said": said})
    unsure = isinstance(heard, Unsure)
    # as if it had been sent before whatever is waiting: it denies nothing
    found = as_early(check, heard.model_copy(update={"guesses": (meant,)}) if unsure else meant)
    return found if isinstance(found, Heard | Unsure) else None


def _careful(check: Check, said: Said, here: bool) -> Said | None:
    """One statement as it may be entered; None if it may not be."""
    if not is_fault(check, said):
        return said.model_copy(update={"hedged": True}) if here else None
    waiting = {each.question for each in check.pending.said} if check.pending else set()
    again = said.question in waiting
    added = said.added or said.question in check.answers
    return said.model_copy(update={"added": added, "hedged": said.hedged or again})


def tells_fault_unread(check: Check, heard: AnyHeard) -> bool:
    """Whether a caption that was not understood is a sentence nearest to a fault; "the sign, close
    up" is none.
    """
    near = heard.nearest[:1] if isinstance(heard, OffGrammar) else ()
    words = (heard.words or "").casefold().split() if isinstance(heard, OffGrammar) else []
    told = any(each in _TELLS or each.endswith(_SHORT) for each in words)
    return told and any(is_fault(check, each) for one in near for each in one.said)
