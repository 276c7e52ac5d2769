"""An edited message amends the answer or note that it gave."""

from __future__ import annotations

from doorround.channels.messenger.inbound.conversation import Inbound, UpdateOutcome
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.updates import Message
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Prompt
from doorround.logbook.message_effects import MessageEffect
from doorround.messages import receiving

_ASKED_LATER = {"unread_at_end", "told_unread"}
"""Fields that move no question on: its buttons stay as they are."""


def take_edit(inbound: Inbound, effect: MessageEffect | None, talk: Talk) -> UpdateOutcome:
    """Process an edited message. effect: what it gave before; None if it gave nothing or is no
    longer known.
    """
    update = inbound.update
    assert isinstance(update, Message)
    text = (update.text or "").strip()
    check = talk.check
    id = inbound.update_id
    waits = effect is not None and effect.waits and check is not None and check.pending is not None
    if effect is None or not (waits or effect.answers or effect.notes or effect.photos):
        if check is None or not text:
            return _line(update, receiving.EDIT_OF_NO_ANSWER)
        say = talk.amend(id, text, (), inbound.at)
        return UpdateOutcome(messages(say, update.message, check.id), outcome="changed")
    if check is None or effect.check != check.id:
        return _line(update, receiving.EDIT_TOO_LATE)
    if update.sound is not None:
        return _line(update, receiving.ONLY_TYPED_WORDS)
    if effect.answers or waits:
        say = talk.amend(id, text, effect.answers, inbound.at, waits)
        if effect.notes:  # a caption, whose note follows it
            photo = effect.photos[-1] if effect.photos else None
            talk.amend_note(f"{id}/note", text, effect.notes[-1], photo, inbound.at)
    elif effect.notes or text:
        note = effect.notes[-1] if effect.notes else None
        say = talk.amend_note(
            id, text, note, effect.photos[-1] if effect.photos else None, inbound.at
        )
    else:
        return UpdateOutcome(outcome="changed, the same")
    after = talk.check
    moved_on = after is None or after.model_dump(exclude=_ASKED_LATER) != check.model_dump(
        exclude=_ASKED_LATER
    )
    return UpdateOutcome(
        messages(say, update.message, check.id), moved_on=moved_on, outcome="changed"
    )


def _line(update: Message, text: str) -> UpdateOutcome:
    return UpdateOutcome(messages((Prompt(text=text),), update.message), outcome="changed, refused")
