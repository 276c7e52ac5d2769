"""Background upkeep: menus follow roles every minute; expired messages and recordings are deleted
once a day.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path

from doorround.channels.messenger.outbound.command_menus import CommandMenus
from doorround.channels.talk.photo_cleaning import photos_beside
from doorround.domain.invites import MESSAGE_DAYS
from doorround.logbook.inbox import Inbox
from doorround.logbook.message_effects import MessageEffects
from doorround.logbook.outbox import Outbox
from doorround.logbook.people import People
from doorround.logbook.photos import tidy_photos
from doorround.logbook.recordings import tidy_recordings
from doorround.logbook.store import Logbook

log = logging.getLogger("doorround.messenger")

POST_KEPT = timedelta(days=MESSAGE_DAYS)
"""Retention of processed messages."""
DAY = timedelta(days=1)


@dataclass(frozen=True)
class KeepingDays:
    """recordings: their folder; photos are beside it. days, photo_days: after the signature of
    their check; None: indefinitely.
    """

    recordings: Path = Path("recordings")
    days: int = 90
    photo_days: int | None = None


@dataclass
class Retention:
    """channel: whose menus are set. written: called when there is something to send. tick: seconds
    between runs.

    Times come from the clock alone.
    """

    channel: str
    logbook: Logbook
    kept: KeepingDays
    clock: Callable[[], datetime]
    written: Callable[[], None]
    tick: float = 60.0
    tidied: datetime | None = field(default=None, init=False)

    async def run(self) -> None:
        """Run for ever. Failures are logged and retried on the next tick."""
        while True:
            await asyncio.sleep(self.tick)
            self.look()

    def look(self) -> None:
        """Do what is due now."""
        now = self.clock()
        try:
            if CommandMenus(self.logbook, self.channel).settle(now):
                self.written()
            if self.tidied is None or now - self.tidied >= DAY:
                self._tidy(now)
                self.tidied = now
        except Exception:
            log.exception("the upkeep failed and will be retried")

    def _tidy(self, now: datetime) -> None:
        # for all channels: expired data is deleted even if its channel is no longer served
        Inbox(self.logbook).tidy(now - POST_KEPT)
        Outbox(self.logbook).tidy(now - POST_KEPT)
        MessageEffects(self.logbook).tidy(now - POST_KEPT)
        People(self.logbook).forget_undecided(now - POST_KEPT)
        gone = len(tidy_recordings(self.logbook, self.kept.recordings, self.kept.days, now).delete)
        if self.kept.photo_days is not None:
            folder = photos_beside(self.kept.recordings)
            gone += len(tidy_photos(self.logbook, folder, self.kept.photo_days, now).delete)
        Inbox(self.logbook).sweep()
        if gone:
            log.info("%d expired recordings and photos are deleted", gone)
