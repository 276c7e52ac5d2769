"""Stores raw updates and passes them on, however a channel receives them."""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

from doorround.channels.messenger.channel import InboundChannel
from doorround.channels.messenger.updates import Message, chat_of
from doorround.logbook.chats import Chats
from doorround.logbook.inbox import Inbox, NewUpdate
from doorround.logbook.outbox import Outbox
from doorround.logbook.outgoing import Outgoing
from doorround.logbook.store import Logbook
from doorround.messages import receiving

log = logging.getLogger("doorround.messenger")

NOTED_EVERY = timedelta(minutes=1)


class Intake:
    """arrived: called with new updates once committed. written: called when the outbox has
    something new.
    """

    def __init__(
        self,
        channel: InboundChannel,
        logbook: Logbook,
        arrived: Callable[[Iterable[tuple[int, str]]], None],
        written: Callable[[], None],
        clock: Callable[[], datetime],
    ) -> None:
        self._channel = channel
        self._logbook = logbook
        self._arrived = arrived
        self._written = written
        self._clock = clock
        self._inbox = Inbox(logbook, channel.name)
        self._outbox = Outbox(logbook, channel.name)
        self._chats = Chats(logbook)
        self._noted: datetime | None = None

    def keep(self, raws: Sequence[Any]) -> int:
        """Commit updates to the inbox. One without an id cannot be stored and is only logged.
        Returns how many were new.
        """
        now = self._clock()
        kept = [self._new(id, raw) for id, raw in self._channel.numbered(raws)]
        for _ in range(len(raws) - len(kept)):
            log.info("an update without an id is not used")
        self._hear(now)
        new = self._inbox.store(kept, now) if kept else []
        if new:
            self._arrived(new)
        return len(new)

    def _new(self, id: str, raw: Any) -> NewUpdate:
        update = self._channel.read(raw)
        album = update.album if isinstance(update, Message) else None
        return NewUpdate(id, self._chats.name(chat_of(update)), raw, album)

    def _hear(self, now: datetime) -> None:
        """Record contact with the messenger; after too long a gap, warn that messages may be
        missing.
        """
        channel = self._channel
        if self._noted is not None and now - self._noted < NOTED_EVERY:
            return
        with self._logbook.writing():
            before = self._chats.last_heard(channel.name)
            keeps = channel.keeps_updates
            if before is not None and keeps is not None and now - before > keeps:
                self._say_missing(before, now - keeps, now)
            self._chats.heard(channel.name, now)
        self._noted = now
        self._written()

    def _say_missing(self, before: datetime, kept_from: datetime, now: datetime) -> None:
        since, lost = (f"{time:%d %B, %H:%M} UTC" for time in (before, kept_from))
        text = receiving.out_of_reach(since, lost)
        for chat, _person in self._chats.of_people(self._channel.name):
            key = f"away/{before.isoformat()}/{chat}"
            self._outbox.put(chat, key, self._chats.turn(chat), Outgoing(text), now)
