"""What a caretaker's reply or edit refers to; and the effects of each message."""

from __future__ import annotations

import asyncio
from dataclasses import dataclass, replace

from doorround.channels.messenger.inbound.conversation import Inbound
from doorround.channels.messenger.updates import Message
from doorround.dialogue.amending import NOT_NOW
from doorround.domain.check import Check, Stage
from doorround.domain.entries import EntryKind
from doorround.logbook.chats import Chats
from doorround.logbook.message_effects import MessageEffect, MessageEffects
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.records import EventRecord
from doorround.messages import buttons, receiving

LOOKS_S = 0.05
"""Polling interval for a message's arrival, in seconds."""


@dataclass(frozen=True)
class Aim:
    """question: key of the one that a message answers, if not the open one. refusal: why it answers
    none.
    """

    question: str | None = None
    refusal: str = ""


OPEN = Aim()
"""The open question."""


def is_own_answer(update: Message, check: Check | None) -> bool:
    """Whether a forwarded message is the caretaker's own, and may answer the open question."""
    order = (update.text or "").lstrip().startswith("/")
    return update.own_words and check is not None and not order


class ReplyTargets:
    """Looks up messages by id: what the bot's asked and reported, what the caretaker's gave."""

    def __init__(self, chats: Chats, outbox: Outbox) -> None:
        self._chats = chats
        self._outbox = outbox
        self.effects = MessageEffects(chats.logbook)

    def aim(self, inbound: Inbound, check: Check | None) -> Aim:
        """Which question a message answers: for a reply, the one asked there, or the one that its
        own message answered.

        A yes to an earlier read-back never confirms the current one.
        """
        update = inbound.update
        if not isinstance(update, Message) or update.reply_to is None:
            return OPEN
        there, question = self._asked(inbound.chat, update.reply_to)
        if there is None or question is None:
            outbound = self._outbox.by_message(inbound.chat, update.reply_to)
            old = (
                outbound is not None
                and outbound.body.confirms
                and outbound.turn < self._chats.turn(inbound.chat)
            )
            return Aim(refusal=receiving.READ_BACK_EARLIER) if old and check is not None else OPEN
        if check is None or there != check.id:
            return Aim(refusal=receiving.REPLY_TOO_LATE)
        if check.stage in NOT_NOW or (check.stage is Stage.ASKING and check.open == question):
            return OPEN
        if question not in [each.key for each in check.questions]:
            return Aim(refusal=receiving.NOT_ASKED_ANY_MORE)
        return Aim(question)

    async def until_clear(self, inbound: Inbound, check: Check | None, seconds: float) -> None:
        """Wait while a message that this one may answer is being sent. seconds: maximum wait."""
        for _ in range(round(seconds / LOOKS_S)):
            shown = self._shown(inbound, check) if isinstance(inbound.update, Message) else []
            if not any(each.state == "sending" for each in shown):
                return
            await asyncio.sleep(LOOKS_S)

    def is_early(self, inbound: Inbound, check: Check | None) -> bool:
        """Whether a message was, or may have been, sent before the pending item could be seen or
        heard: a yes confirms, and "finish" signs, only what somebody saw.
        """
        update = inbound.update
        shown = self._shown(inbound, check)
        if not shown or not isinstance(update, Message):
            return False
        return not any(_shown_before(each, update.message) for each in shown)

    def _shown(self, inbound: Inbound, check: Check | None) -> list[OutboundMessage]:
        """The messages, written and read aloud, of the item awaiting a yes or a signature."""
        if check is None or check.stage not in _SETTLED_BY_A_WORD:
            return []
        turn = self._outbox.of_turn(inbound.chat, self._chats.turn(inbound.chat))
        return [each for each in turn if _waits(each.body)]

    def _asked(self, chat: str, message: str) -> tuple[str | None, str | None]:
        """Check and question that a message of ours asked, or that one of theirs alone answered."""
        outbound = self._outbox.by_message(chat, message)
        if outbound is not None:
            return outbound.body.check, outbound.body.asks
        effects = self.effects.of(chat, message)
        return (
            (effects.check, effects.questions[0])
            if effects and len(effects.questions) == 1
            else (None, None)
        )

    def note(
        self,
        inbound: Inbound,
        before: Check | None,
        after: Check | None,
        entries: list[EventRecord],
    ) -> None:
        """Store a message's effects.

        A yes has the effects of what was read back, and so does the original message.
        """
        here = after or before
        answered = after.last if after is not None else ()
        pending = after.pending if after is not None else None
        source = (
            self.effects.waiting(inbound.chat)
            if before is not None and before.pending is not None
            else None
        )
        if source is not None:
            confirmed = [entry for entry in entries if entry.body.get("confirmed")]
            self._add(
                inbound,
                source,
                here,
                confirmed,
                answered,
                waits=pending == (before.pending if before else None),
            )
        if isinstance(inbound.update, Message):
            new = pending is not None and (before is None or before.pending != pending)
            if new:
                self.effects.clear_waiting(inbound.chat)
            gives = any(entry.kind in GIVEN for entry in entries)
            if gives or new:
                self._add(inbound, inbound.update.message, here, entries, answered, waits=new)

    def _add(
        self,
        inbound: Inbound,
        message: str,
        check: Check | None,
        entries: list[EventRecord],
        answered: tuple[str, ...],
        waits: bool,
    ) -> None:
        alone = any(
            entry.kind is EntryKind.PHOTOGRAPHED and entry.check is None for entry in entries
        )
        known = self.effects.of(inbound.chat, message) or MessageEffect(
            None if alone or check is None else check.id
        )
        self.effects.put(
            inbound.chat,
            message,
            replace(known.and_more(entries, answered), waits=waits),
            inbound.at,
        )


_SETTLED_BY_A_WORD = (Stage.CONFIRMING, Stage.CANCELLING, Stage.SUMMARY)

GIVEN = (EntryKind.ANSWERED, EntryKind.NOTED, EntryKind.PHOTOGRAPHED)


def _waits(body: Outgoing) -> bool:
    """Whether a message awaits a yes or the signature."""
    return body.confirms or buttons.FINISH in body.taps


def _shown_before(ours: OutboundMessage, theirs: str) -> bool:
    """Whether a message of ours was definitely in the chat before theirs."""
    return ours.state == "sent" and not _sent_later(ours.message_id, theirs)


def _sent_later(ours: str | None, theirs: str) -> bool:
    """Whether a message of ours comes later in the chat than theirs, if ids are increasing numbers,
    as in Telegram's private chats (the Bot API, Message, from memory).
    """
    return ours is not None and ours.isdecimal() and theirs.isdecimal() and int(ours) > int(theirs)
