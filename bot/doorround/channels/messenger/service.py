"""A running channel: inbox, outbox and background upkeep put together.

A channel's own service adds how its updates are received, and calls `serve_channel`.
"""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Callable, Coroutine, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from doorround.channels.messenger.channel import InboundChannel, OutboundChannel, Pace
from doorround.channels.messenger.inbound.check_conversation import CheckConversation
from doorround.channels.messenger.inbound.conversation import AccessPolicy
from doorround.channels.messenger.inbound.dispatcher import PerChatQueue
from doorround.channels.messenger.inbound.intake import Intake
from doorround.channels.messenger.inbound.known_chats import KnownChats
from doorround.channels.messenger.inbound.prepared import Patience
from doorround.channels.messenger.inbound.update_handler import UpdateHandler
from doorround.channels.messenger.outbound.own_data import own_data_file
from doorround.channels.messenger.outbound.sender import Sender
from doorround.channels.messenger.outbound.storage_outage import StorageOutage
from doorround.channels.messenger.outbound.tts_sender import TtsSender
from doorround.channels.messenger.retention import KeepingDays, Retention
from doorround.channels.messenger.updates import chat_of
from doorround.channels.talk.talk import Talk
from doorround.domain.check import Check
from doorround.hearing.session.worker_pool import Pool
from doorround.logbook.chats import Chats
from doorround.logbook.errors import is_unwritten
from doorround.logbook.inbox import Inbox
from doorround.logbook.outbox import OutboundMessage, Outbox
from doorround.logbook.store import Logbook
from doorround.reminders.ticker import ticking
from doorround.speaking.tts_cache import TtsCache

log = logging.getLogger("doorround.messenger")

FINISH_S = 2.0
"""Maximum wait for messages in flight at shutdown; the whole shutdown takes at most five
seconds.
"""


def _now() -> datetime:
    return datetime.now(UTC)


@dataclass(kw_only=True)
class Service:
    """One run of the bot on a channel. talk: creates the talk of a chat and its person. places: how
    many recordings the pool processes at once.

    access_policy: who is known; by default, whose chats the logbook knows. first_pause: initial
    back-off in seconds. kept: retention of recordings and photos. tick: seconds between upkeep
    runs. remind: writes due reminders into the outbox; called once a minute, by one service if
    several share a logbook. alert: writes alerts for dangers in a check as it stands after a turn.
    may_come: whether a reminder may be sent at a moment. spoken: reads questions aloud; None for
    nothing. patience: waiting times.
    """

    logbook: Logbook
    pool: Pool
    talk: Callable[[str, str], Talk]
    places: int = 10
    access_policy: AccessPolicy | None = None
    first_pause: float = 1.0
    clock: Callable[[], datetime] = _now
    kept: KeepingDays = field(default_factory=KeepingDays)
    tick: float = 60.0
    remind: Callable[[datetime], int] | None = None
    alert: Callable[[Check, datetime], int] | None = None
    may_come: Callable[[OutboundMessage, datetime], bool] = lambda outbound, now: True
    spoken: TtsCache | None = None
    patience: Patience = field(default_factory=Patience)
    waits_for_others: float = 1.0

    async def serve_channel(
        self,
        inbound: InboundChannel,
        outbound: OutboundChannel,
        pace: Pace,
        listen: Callable[[ChannelRun], Sequence[Coroutine[Any, Any, None]]],
        stop: asyncio.Event,
    ) -> None:
        """Serve until `stop` is set. Updates stored before are processed first, in order.

        listen: brings updates to ChannelRun.keep, and runs for ever. Raises what any of these
        raises.
        """
        self.logbook.wait_for_others(self.waits_for_others)
        run = ChannelRun(self, inbound, outbound, pace)
        run.begin()
        tasks = [asyncio.create_task(each) for each in (*run.works(), *listen(run))]
        reminders = ticking(self.remind or (lambda now: 0), self.clock, run.sender.wake)
        reminders.start()
        try:
            await until_one_ends(stop, tasks)
        finally:
            reminders.shutdown(wait=False)
            # shutdown order: stop receiving, stop starting new work, let messages in flight arrive
            for task in tasks:
                task.cancel()
            await asyncio.gather(*tasks, return_exceptions=True)
            await run.queue.finish()
            await run.sender.finish(FINISH_S)

    def own_data(self, name: str) -> bytes:
        """All data stored about a person, as JSON. May take seconds: for a thread."""
        return own_data_file(
            self.logbook.path, self.logbook.zone, self.kept.recordings, self.clock, name
        )


class ChannelRun:
    """The parts of one run of a channel. sender, queue, access_policy: see there."""

    def __init__(
        self, service: Service, inbound: InboundChannel, outbound: OutboundChannel, pace: Pace
    ) -> None:
        self._service = service
        self._inbound = inbound
        logbook = service.logbook
        clock = service.clock
        name = inbound.name
        chats = Chats(logbook)
        outbox = Outbox(logbook, name)
        access_policy = service.access_policy or KnownChats(chats)
        self.access_policy = access_policy
        self.sender = Sender(outbound, pace, outbox, chats, service.first_pause)
        self.sender.may_come = lambda outbound: service.may_come(outbound, clock())
        wake = self.sender.wake
        self._aloud = TtsSender(name, chats, outbox, service.spoken, wake, clock)
        self._upkeep = Retention(name, logbook, service.kept, clock, wake, service.tick)
        self._outage = StorageOutage(
            outbound, lambda chat: access_policy.person(chat) is not None, chats.address
        )
        self.queue = PerChatQueue(self._handler().handle)
        self._intake = Intake(inbound, logbook, self.queue.arrived, wake, clock)

    def _handler(self) -> UpdateHandler[Any]:
        service = self._service
        sender = self.sender
        conversation = CheckConversation(
            self._inbound,
            service.talk,
            service.pool,
            sender.chats,
            sender.outbox,
            service.places,
            service.alert,
            service.patience,
            sender.wake,
        )
        return UpdateHandler(
            self._inbound,
            service.logbook,
            conversation,
            service.talk,
            self.access_policy,
            self._aloud.written_elsewhere,
            service.first_pause / 2,
            lambda id, chat: self.queue.put_off(id, chat, service.patience.later),
            service.clock,
            self._outage,
        )

    def begin(self) -> None:
        """Resume stored updates, those in progress when the process died first."""
        self._upkeep.look()
        inbox = Inbox(self._service.logbook, self._inbound.name)
        self.queue.first(inbox.tried())
        self.queue.arrived(inbox.waiting())

    def works(self) -> tuple[Coroutine[Any, Any, None], ...]:
        """Tasks that run for ever beside the channel's own listener."""
        return self.sender.run(), self._aloud.run(), self._upkeep.run()

    def keep(self, raws: Sequence[Any]) -> int:
        """Store raw updates; once this returns they are safe. Returns how many are new."""
        new = self._intake.keep(raws)
        self._outage.over("keep", self._chats_of(raws))
        return new

    async def refused(self, raws: Sequence[Any], error: Exception) -> None:
        """Notify the senders of updates that could not be stored."""
        if is_unwritten(error):
            await self._outage.failed("keep", self._chats_of(raws), error)

    def _chats_of(self, raws: Sequence[Any]) -> list[str]:
        return [chat_of(self._inbound.read(raw)) for raw in raws]


async def until_one_ends(stop: asyncio.Event, tasks: list[asyncio.Task[None]]) -> None:
    """Wait for the stop; a part that ends by itself ends the service with its error."""
    waiting = asyncio.create_task(stop.wait())
    done, _ = await asyncio.wait([waiting, *tasks], return_when=asyncio.FIRST_COMPLETED)
    waiting.cancel()
    for task in done - {waiting}:
        task.result()
