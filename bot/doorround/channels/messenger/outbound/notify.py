"""Notifies somebody other than the sender, through their chat's outbox."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.results import Notification
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook


def notify(logbook: Logbook, aside: Notification, key: str, now: datetime) -> None:
    """Write it under an idempotency key. It is sent on the account's channel, whichever channel it
    is written from.
    """
    chats = Chats(logbook)
    outbox = Outbox(logbook)
    chat = aside.account.talk
    turn = chats.move_on(chat) if aside.moved_on else chats.turn(chat)
    for place, out in enumerate(messages(aside.say)):
        outbox.put(chat, f"{key}/{place}", turn, out, now)
