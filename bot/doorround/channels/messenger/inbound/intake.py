"""Keeps raw updates and passes them on; the same behind the poll and the webhook."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

from doorround.channels.messenger.outbound.outgoing import Outgoing
from doorround.channels.telegram.wire.updates import (
    CHANNEL,
    ButtonPress,
    Message,
    read_update,
    update_id,
)
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import Outbox
from doorround.logbook.store import Logbook

log = logging.getLogger("doorround.telegram")

KEPT_BY_TELEGRAM = timedelta(hours=24)
"""How long Telegram keeps updates for a bot that does not ask.

Source: the Bot API, getUpdates, from memory.
"""
NOTED_EVERY = timedelta(minutes=1)


class Intake:
    """arrived: told of new updates, once they are committed. written: told of something new in the
    outbox.
    """

    def __init__(
        self,
        logbook: Logbook,
        arrived: Callable[[Iterable[tuple[int, str]]], None],
        written: Callable[[], None],
        clock: Callable[[], datetime],
    ) -> None:
        self._logbook = logbook
        self._arrived = arrived
        self._written = written
        self._clock = clock
        self._inbox = Inbox(logbook)
        self._outbox = Outbox(logbook)
        self._chats = Chats(logbook)
        self._noted: datetime | None = None

    def keep(self, raws: Sequence[Any]) -> int:
        """Commit updates to the inbox. One without a number cannot be kept: it is a line in the
        log. Returns how many were not there yet.
        """
        now = self._clock()
        kept = []
        for raw in raws:
            id = update_id(raw)
            if id is None:
                log.info("an update without a number is not used")
            else:
                kept.append((id, self._chats.name(chat_of(raw)), raw))
        self._hear(now)
        new = self._inbox.take_in(sorted(kept, key=lambda each: each[0]), now) if kept else []
        if new:
            self._arrived(new)
        return len(new)

    def _hear(self, now: datetime) -> None:
        """Note that Telegram is there; after too long a time without it, say that messages may be
        missing.
        """
        if self._noted is not None and now - self._noted < NOTED_EVERY:
            return
        with self._logbook.writing():
            before = self._chats.last_heard(CHANNEL)
            if before is not None and now - before > KEPT_BY_TELEGRAM:
                self._say_missing(before, now)
            self._chats.heard(CHANNEL, now)
        self._noted = now
        self._written()

    def _say_missing(self, before: datetime, now: datetime) -> None:
        since, lost = (f"{time:%d %B, %H:%M} UTC" for time in (before, now - KEPT_BY_TELEGRAM))
        text = (
            f"I was out of reach since {since}. What was sent before {lost} may be missing: see"
            " your last answers."
        )
        for chat, _person in self._chats.of_people():
            key = f"away/{before.isoformat()}/{chat}"
            self._outbox.put(chat, key, self._chats.turn(chat), Outgoing(text).as_body(), now)


def chat_of(raw: Any) -> str:
    """Our name of the chat that an update belongs to; "" for none."""
    update = read_update(raw)
    if isinstance(update, Message | ButtonPress):
        return update.writer.chat
    return update.chat
