"""The second understanding of a message, with what it refers to: what was just found in the
doorway, or a leaf of a pair.
"""

from __future__ import annotations

from doorround.channels.talk.second_reading import Understand, read_second
from doorround.channels.talk.which_leaf import message_text, off_grammar, read_pair
from doorround.dialogue.amending import stand_at
from doorround.dialogue.expected_input import expected_input
from doorround.dialogue.unconfirmed_faults import is_fault
from doorround.domain.check import FREE, Check, Stage
from doorround.domain.input_result import (
    MAX_OFFERED,
    SECOND_UNDERSTANDING,
    AnyHeard,
    By,
    Heard,
    OffGrammar,
    Said,
    Unsure,
)
from doorround.domain.values import Command, Condition, Value
from doorround.english.put_right import means_all, tells_taken_away
from doorround.english.yes_and import after_yes
from doorround.hearing.session.interpretation import Interpreter, typed

Reads = tuple[Interpreter, Understand | None]

_DOORWAY = "clear"
"""The component and question about what stands in the doorway."""


def read_message(check: Check, heard: AnyHeard, reads: Reads) -> AnyHeard:
    """A message's result at this point of a check, with the second understanding."""
    return (
        _taken_away(check, heard, reads[0])
        or _fault_after_yes(check, heard, reads)
        or read_pair(check, heard, reads)
    )


def _fault_after_yes(check: Check, heard: AnyHeard, reads: Reads) -> Heard | None:
    """The fault in "yes and it's split", to the read-back of a pass; it takes the place of the pass
    if it is of the same part. One that is not a phrase of the grammar, or that comes from a
    transcript, is read back. None for anything else.
    """
    pending = check.pending
    if check.stage is not Stage.CONFIRMING or pending is None or not isinstance(heard, OffGrammar):
        return None
    text = message_text(heard)
    more = after_yes(text)
    if not more or any(is_fault(check, each) for each in pending.said):
        return None
    there = stand_at(check, pending.said[0].question or "")
    for state in (check, there):
        understand = reads[1] if state is there else None
        read = read_second(typed(reads[0], more, expected_input(state)), understand, state)
        best = read.guesses[0] if isinstance(read, Unsure) else read
        if isinstance(best, Heard) and all(is_fault(check, each) for each in best.said):
            plain = state is check and heard.by is not By.VOICE
            said = tuple(_own(each, check, text, hedged=not plain) for each in best.said)
            about = {"by": heard.by, "said": said, "words": text}
            return best.model_copy(update={**about, "audio_sha256": heard.audio_sha256})
    return None


def _own(said: Said, check: Check, text: str, *, hedged: bool) -> Said:
    added = said.added or said.question in check.answers
    doubt = said.hedged or hedged
    return said.model_copy(update={"verbatim": text, "hedged": doubt, "added": added})


def _taken_away(check: Check, heard: AnyHeard, interpreter: Interpreter) -> AnyHeard | None:
    """ "Took it out", right after a wedge was found: it was made good, which is read back. If
    several things stood there, the bot asks which, unless all of them are meant. None for anything
    else.
    """
    text = message_text(heard)
    if check.stage in FREE or not text or not tells_taken_away(text):
        return None
    expected = expected_input(check)
    found = [typed(interpreter, words, expected) for words in _to_be_mended(check)]
    mended = [each.said[0] for each in found if isinstance(each, Heard)]
    mended = [each for each in mended if each.question == _DOORWAY]
    if not mended:
        return None
    sha256 = getattr(heard, "audio_sha256", None)
    about = {"by": heard.by, "words": text, "engine": SECOND_UNDERSTANDING, "audio_sha256": sha256}
    told = (_all_of(mended),) if means_all(text) else mended
    own = {"verbatim": text, "hedged": True}
    nearest = tuple(Heard(said=(each.model_copy(update=own),), **about) for each in told)
    if len(nearest) == 1:
        return nearest[0]
    return off_grammar(heard, text, nearest[:MAX_OFFERED])


def _all_of(mended: list[Said]) -> Said:
    """One answer in place of several, each about one thing put right."""
    values = [each.value for each in mended]
    defects = [one for value in values if isinstance(value, Condition) for one in value.defects]
    return mended[0].model_copy(update={"value": Condition(defects=tuple(defects))})


def _to_be_mended(check: Check) -> tuple[str, ...]:
    """What was just found in the doorway, each as the words for putting it right."""
    answer = check.answers.get(_DOORWAY) if _DOORWAY in check.last else None
    values: list[Value | Command] = [answer.value] if answer else []
    if check.stage is Stage.CONFIRMING and check.pending:
        values += [each.value for each in check.pending.said if each.question == _DOORWAY]
    names = dict.fromkeys(
        each.name
        for value in values
        if isinstance(value, Condition)
        for each in value.defects
        if not each.made_good
    )
    known = (check.checklist.fault(_DOORWAY, name) for name in names)
    return tuple(each.mended for each in known if each.mended)
