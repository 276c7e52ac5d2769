"""When something was said: a closing time is taken between two messages."""

from __future__ import annotations

from datetime import datetime, timedelta

from doorround.channels.messenger.updates import ButtonPress, Message

FRESH = timedelta(seconds=3)
"""Messengers tell whole seconds, and of a button none at all: of what came at once our own clock is
the better one, and a closing time is taken between a button and a message.
"""


def when_said(update: Message | ButtonPress, received: datetime) -> datetime:
    """When something was said: when it came, or, where it lay about before that, when the
    messenger says it was sent.
    """
    lay_about = isinstance(update, Message) and received - update.at > FRESH
    return update.at if isinstance(update, Message) and lay_about else received
