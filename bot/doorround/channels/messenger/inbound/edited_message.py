"""A message that its writer changed: it amends the answer or the note that it gave."""

from __future__ import annotations

from doorround.channels.messenger.inbound.conversation import Inbound, Outcome
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.updates import Message
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Prompt
from doorround.logbook.message_effects import MessageEffect
from doorround.messages import receiving


def take_edit(given: Inbound, gave: MessageEffect | None, talk: Talk) -> Outcome:
    """Take a changed message. gave: what it gave before; None for one that gave nothing or is not
    known any more.
    """
    update = given.update
    assert isinstance(update, Message)
    text = (update.text or "").strip()
    check = talk.check
    id = given.update_id
    waits = gave is not None and gave.waits and check is not None and check.pending is not None
    if gave is None or not (waits or gave.answers or gave.notes or gave.photos):
        return _line(update, receiving.EDIT_OF_NO_ANSWER)
    if check is None or gave.check != check.id:
        return _line(update, receiving.EDIT_TOO_LATE)
    if update.sound is not None:
        return _line(update, receiving.ONLY_TYPED_WORDS)
    if gave.answers or waits:
        say = talk.amend(id, text, gave.answers, given.at, waits)
    elif gave.notes or text:
        note = gave.notes[-1] if gave.notes else None
        say = talk.amend_note(id, text, note, gave.photos[-1] if gave.photos else None, given.at)
    else:
        return Outcome(outcome="changed, the same")
    after = talk.check
    moved_on = after is None or after.model_dump() != check.model_dump()
    return Outcome(messages(say, update.message, check.id), moved_on=moved_on, outcome="changed")


def _line(update: Message, text: str) -> Outcome:
    return Outcome(messages((Prompt(text=text),), update.message), outcome="changed, refused")
