"""When something was said: a closing time is measured between two messages."""

from __future__ import annotations

from datetime import datetime, timedelta

from doorround.channels.messenger.updates import ButtonPress, Message

FRESH = timedelta(seconds=3)
"""Messengers give whole seconds, and no time for a button at all: for what arrives promptly our own
clock is more precise, and a closing time is measured between a button and a message.
"""


def when_said(update: Message | ButtonPress, received: datetime) -> datetime:
    """When something was said: its arrival time or, if it was delayed before that, the messenger's
    sending time.
    """
    lay_about = isinstance(update, Message) and received - update.at > FRESH
    return update.at if isinstance(update, Message) and lay_about else received
