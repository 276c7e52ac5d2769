"""Sends one channel's outbox: each chat in order, chats concurrently, within the messenger's rate
limits, with retries.
"""

from __future__ import annotations

import asyncio
import logging
import time
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from doorround.channels.messenger.backoff import Backoff
from doorround.channels.messenger.channel import (
    ChatMoved,
    Delivery,
    DeliveryError,
    NotConnected,
    OutboundChannel,
    Pace,
    Refused,
    SlowDown,
    Unreachable,
)
from doorround.logbook.chats import Chats
from doorround.logbook.errors import StorageError
from doorround.logbook.outbox import OutboundMessage, Outbox

log = logging.getLogger("doorround.messenger")

MAX_TRIES = 40
"""After some half an hour of refusals a message is dropped.

While the messenger is unreachable, tries are not counted.
"""
MAX_SECONDS = 60.0
MAX_FLYING = 40
"""Maximum messages in flight, so that fetches and taps always find one of the 64 connections free.
At 30 a second, so many are in flight only if each takes over a second.
"""
TOGETHER = 0.01
"""Seconds to wait after the first delivery, to mark others in the same transaction: each commit
waits for the disk.
"""


@dataclass
class Sender:
    """The worker. It holds no state: anything not marked as sent is resumed by the next one.

    outbox: of this channel alone. may_come: whether a reminder may be sent now; one that may not
    waits, without blocking later messages.
    """

    channel: OutboundChannel
    pace: Pace
    outbox: Outbox
    chats: Chats
    first_pause: float = 1.0
    clock: Callable[[], float] = time.monotonic
    may_come: Callable[[OutboundMessage], bool] = lambda outbound: True

    def __post_init__(self) -> None:
        self._wake = asyncio.Event()
        self._flying: dict[str, asyncio.Task[None]] = {}
        self._failing: dict[str, Backoff] = {}
        self._arrived: list[tuple[int, str | None, asyncio.Future[None]]] = []
        # handed over by a process that died: they may have arrived
        self._unclear = {
            outbound.id for outbound in self.outbox.next_per_chat() if outbound.state == "sending"
        }

    def wake(self) -> None:
        """Wake up: there is something new to send."""
        self._wake.set()

    async def run(self) -> None:
        """Send for ever.

        When cancelled, it lets messages in flight arrive, for as long as finish() waits.
        """
        while True:
            self._wake.clear()
            try:
                pause = self._start_due()
            except StorageError as error:
                log.warning("sending is paused: %s", error)
                pause = self.first_pause
            try:
                # not wait_for: before Python 3.12 it can swallow the cancellation that ends this
                # loop
                async with asyncio.timeout(pause):
                    await self._wake.wait()
            except TimeoutError:
                self.pace.forget(self.clock())

    async def finish(self, seconds: float) -> None:
        """Wait that long for messages in flight to arrive and be marked, then abandon them."""
        if self._flying:
            _, late = await asyncio.wait(list(self._flying.values()), timeout=seconds)
            for task in late:
                task.cancel()
            await asyncio.gather(*late, return_exceptions=True)

    def _start_due(self) -> float:
        """Start what may be sent now, marked in one transaction.

        Returns seconds until the next may.
        """
        pause = MAX_SECONDS
        due = list[tuple[OutboundMessage, str]]()
        for outbound in self.outbox.next_per_chat(
            [each.id for each in self.outbox.deferrable() if not self.may_come(each)]
        ):
            if outbound.chat in self._flying:
                continue
            if self._needless(outbound):
                self.outbox.drop(outbound.id, "the talk has moved on")
                pause = 0.0
                continue
            address = self.chats.address(outbound.chat)
            wait = self.pace.wait(address, self.clock())
            if wait > 0:
                pause = min(pause, wait)
            elif len(self._flying) + len(due) < MAX_FLYING:  # otherwise a delivery wakes us
                self.pace.went(address, self.clock())
                due.append((outbound, address))
        return min(pause, self._start(due))

    def _start(self, due: list[tuple[OutboundMessage, str]]) -> float:
        """Mark and start. Returns seconds until a retry is allowed."""
        try:
            marked = (
                self.outbox.sending(*(outbound.id for outbound, _ in due))
                if due
                else frozenset[int]()
            )
        except Exception:
            log.exception("%d messages could not be marked and were not sent", len(due))
            return self.first_pause
        for outbound, address in due:
            if outbound.id not in marked:
                continue  # dropped since
            task = asyncio.create_task(self._send(outbound, address))
            self._flying[outbound.chat] = task
            task.add_done_callback(partial(self._landed, outbound.chat))
        return MAX_SECONDS if len(marked) == len(due) else 0.0

    def _landed(self, chat: str, _task: asyncio.Task[None]) -> None:
        self._flying.pop(chat, None)
        self.wake()

    def _needless(self, outbound: OutboundMessage) -> bool:
        """A question answered since is not read aloud, nor sent again if it may have arrived."""
        if outbound.turn >= self.chats.turn(outbound.chat):
            return False
        may_have_arrived = outbound.state == "sending" or outbound.id in self._unclear
        return outbound.body.aloud is not None or (may_have_arrived and outbound.body.question)

    async def _send(self, outbound: OutboundMessage, address: str) -> None:
        try:
            message = await self.channel.deliver(self._delivery(outbound, address))
        except DeliveryError as error:
            if outbound.body.aloud is not None:
                # it was already asked in writing: a voice note must not delay later messages
                log.warning("message %d was not read aloud: %s", outbound.id, error)
                self.outbox.drop(outbound.id, "not read aloud")
                return
            self._failed(outbound, address, error)
        except Exception:
            log.exception("message %d was not sent", outbound.id)
            self._again(outbound, address)
        else:
            await self._arrive(outbound.id, message)
            self._failing.pop(outbound.chat, None)

    def _delivery(self, outbound: OutboundMessage, address: str) -> Delivery:
        live = outbound.turn == self.chats.turn(outbound.chat)
        before = self.outbox.outbound(outbound.body.edits) if outbound.body.edits else None
        return Delivery(outbound, address, live, before.message_id if before else None)

    async def _arrive(self, id: int, message: str | None) -> None:
        """Mark a message as sent, batched with others that arrive at the same time."""
        loop = asyncio.get_running_loop()
        if not self._arrived:
            loop.call_later(TOGETHER, self._mark)
        marked = loop.create_future()
        self._arrived.append((id, message, marked))
        await asyncio.shield(marked)

    def _mark(self) -> None:
        arrived, self._arrived = self._arrived, []
        try:
            self.outbox.sent({id: message for id, message, _ in arrived})
        except StorageError as error:
            log.warning("%d messages arrived and are marked later: %s", len(arrived), error)
            self._arrived = arrived + self._arrived
            asyncio.get_running_loop().call_later(self.first_pause, self._mark)
            return
        except Exception:
            # still marked "sending": at the next start it is unknown whether they arrived
            log.exception("%d messages arrived and could not be marked", len(arrived))
        for _, _, marked in arrived:
            if not marked.done():
                marked.set_result(None)

    def _failed(self, outbound: OutboundMessage, address: str, error: DeliveryError) -> None:
        match error:
            case SlowDown():
                self.outbox.wait(outbound.id)
                self.pace.hold(address, error.seconds, self.clock())
            case ChatMoved():
                self.outbox.wait(outbound.id)
                self.chats.moved(outbound.chat, error.to)
            case Unreachable():
                log.info("%s can no longer be reached: %s", outbound.chat, error)
                self.chats.unreachable(outbound.chat, str(error))
                self.outbox.drop_all(outbound.chat, str(error))
            case Refused():
                log.error("message %d was refused: %s", outbound.id, error)
                self.outbox.drop(outbound.id, str(error))
            case _:
                self._again(outbound, address, error)

    def _again(
        self, outbound: OutboundMessage, address: str, error: DeliveryError | None = None
    ) -> None:
        """Retry later; other chats continue."""
        known = self._failing.setdefault(outbound.chat, Backoff(self.first_pause, MAX_SECONDS))
        if not known.failures:
            log.warning("message %d was not sent, retrying: %s", outbound.id, error or "see above")
        if isinstance(error, NotConnected):
            self.outbox.wait(outbound.id)
        elif outbound.tries + 1 >= MAX_TRIES:
            log.error("message %d is dropped after %d tries", outbound.id, outbound.tries + 1)
            self.outbox.drop(outbound.id, f"given up: {error}")
        self.pace.hold(address, known.next(), self.clock())
