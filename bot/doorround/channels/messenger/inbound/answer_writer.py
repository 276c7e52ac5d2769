"""Writes replies to an update into the outbox, under keys derived from the update, so that each is
written once.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from doorround.channels.messenger.inbound.conversation import UpdateOutcome
from doorround.channels.messenger.outbound.command_menus import CommandMenus
from doorround.channels.messenger.outbound.notify import notify
from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.results import Reply
from doorround.channels.messenger.updates import ButtonPress, Message
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook


class AnswerWriter:
    """key: of the update being answered, Arrived.key. at: when it arrived, UTC."""

    def __init__(self, logbook: Logbook, channel: str) -> None:
        self._logbook = logbook
        self._outbox = Outbox(logbook, channel)
        self._chats = Chats(logbook)
        self._menus = CommandMenus(logbook, channel)

    def tell(
        self, key: str, chat: str, reply: Reply, update: Message | ButtonPress, at: datetime
    ) -> None:
        """Write a reply, notifications to others, and any changed menus."""
        in_group = isinstance(update, Message) and not update.writer.private
        out = messages(reply.say, update.message if in_group else None)
        if reply.data_of is not None:
            out = tuple(replace(each, data_of=reply.data_of) for each in out[:1])
        if reply.pass_on:
            out = (*out, Outgoing(reply.pass_on))
        self.write(key, chat, UpdateOutcome(out, reply.moved_on), at)
        for place, aside in enumerate(reply.also):
            notify(self._logbook, aside, f"{key}/also{place}", at)
        if reply.say or reply.also:
            self._menus.settle(at)

    def write(self, key: str, chat: str, said: UpdateOutcome, at: datetime) -> None:
        """Write an update's outcome, and count the turn if the talk moved on."""
        turn = self._chats.move_on(chat) if said.moved_on else self._chats.turn(chat)
        for place, out in enumerate(said.out):
            self._outbox.put(chat, f"{key}/{place}", turn, out, at)

    def put(self, chat: str, key: str, line: Outgoing, at: datetime) -> None:
        """Write one line under its own key."""
        self._outbox.put(chat, key, self._chats.turn(chat), line, at)


def later_key(key: str) -> str:
    """Key of the message saying that an update's file will be fetched later."""
    return f"{key}/later"
