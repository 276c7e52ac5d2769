"""A line for somebody who did not write: into the outbox of their chat."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.messenger.outbound.outgoing import messages
from doorround.channels.messenger.results import Notification
from doorround.channels.telegram.wire.updates import CHANNEL
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook


def notify(logbook: Logbook, aside: Notification, key: str, now: datetime) -> None:
    """Write it under a key, which keeps it from being written twice; nothing where the account is
    another channel's.
    """
    if aside.account.channel != CHANNEL:
        return
    chats = Chats(logbook)
    outbox = Outbox(logbook)
    chat = aside.account.talk
    turn = chats.move_on(chat) if aside.moved_on else chats.turn(chat)
    for place, out in enumerate(messages(aside.say)):
        outbox.put(chat, f"{key}/{place}", turn, out.as_body(), now)
