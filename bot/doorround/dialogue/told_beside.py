"""A fault of another part, typed during a read-back: it belongs to the part it names, and the
read-back stays open.

Pure: reads only its arguments.
"""

from __future__ import annotations

from doorround.dialogue.immovable_door import tell_untested
from doorround.dialogue.readback import heard_words
from doorround.dialogue.turn_builder import TurnBuilder
from doorround.dialogue.turn_steps import stands
from doorround.dialogue.unconfirmed_faults import covers, is_fault
from doorround.domain.check import Check, PromptKind, Report, Stage
from doorround.domain.input_result import By, Heard, Said
from doorround.messages import confirming
from doorround.messages.answers import said_words
from doorround.messages.buttons import YES_NO


def take_told_beside(builder: TurnBuilder, heard: Heard) -> bool:
    """Enter the fault, say it back, and repeat the open read-back. False if it is no such fault. If
    it is unclear which of two faces is meant, the fault is kept as reported, and the bot asks about
    it before the signature.
    """
    check = builder.check
    if check.stage is not Stage.CONFIRMING or check.pending is None or not _beside(check, heard):
        return False
    free = not check.must_not_move
    taken = [said.question or "" for said in heard.said if _taken(builder, said, heard)]
    # somebody is present
    builder.set(misses=0, lost=0)
    if taken:
        builder.set(last=tuple(taken))
        builder.read_back(tuple(taken))
    if free and builder.check.must_not_move:
        tell_untested(builder)
    words = heard_words(builder.check, check.pending)
    builder.say(confirming.yes_or_no("", words), PromptKind.READ_BACK, YES_NO)
    return True


def _beside(check: Check, heard: Heard) -> bool:
    """Whether the whole message is faults of parts that are not being read back."""
    waiting = {said.question for said in check.pending.said} if check.pending else set()
    return heard.by is not By.VOICE and all(
        said.added and said.question not in waiting and is_fault(check, said) for said in heard.said
    )


def _taken(builder: TurnBuilder, said: Said, heard: Heard) -> bool:
    """Enter one; False if it is in force already, is only kept as reported, or is invalid."""
    check = builder.check
    if stands(check, said):
        builder.say(confirming.stands_already(said_words(said, check.checklist)))
        return False
    if said.hedged:
        known = any(covers(each, said) for each in check.reported)
        if not known:
            alone = heard.model_copy(update={"said": (said,)})
            builder.set(reported=(*check.reported, Report(heard=alone)))
        if known or check.open is None:  # otherwise the builder says so for each report
            builder.say(confirming.kept_as_reported(said_words(said, check.checklist)))
        return False
    if builder.answer(said, heard, confirmed=False) is None:
        words = said_words(said, check.checklist)
        builder.say(confirming.nothing_entered(words, confirming.THAT_CANNOT_BE))
        return False
    return True
