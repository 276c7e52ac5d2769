"""The channel interface: an inbound side that reads updates, and an outbound side that sends.

Each channel is a folder that implements these; the rest of `messenger` knows only its name. See
"How to add a channel" in DEVELOPERS.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Protocol

from doorround.channels.messenger.updates import ButtonPress, RemoteFile, Update
from doorround.logbook.outbox import OutboundMessage

HELD_S = 30.0
"""Seconds that a chat waits for a file through failures and "slow down" replies. Then the update is
postponed and later ones proceed.
"""


class Unfetched(Exception):
    """A file cannot be fetched. Says what to do instead."""


class NotYet(Exception):
    """A file cannot be fetched yet. Says so in one line; gone: the line to send if it
    never can be.
    """

    def __init__(self, line: str, gone: str) -> None:
        super().__init__(line)
        self.gone = gone


class DeliveryError(Exception):
    """Sending a message failed. Says why. It is retried, and dropped after many tries."""


class SlowDown(DeliveryError):
    """The messenger asks for no messages to this chat for a while. seconds: for how long."""

    def __init__(self, why: str, seconds: float) -> None:
        super().__init__(why)
        self.seconds = seconds


class ChatMoved(DeliveryError):
    """The chat has migrated. to: our name of the new one, "telegram/-1009"."""

    def __init__(self, why: str, to: str) -> None:
        super().__init__(why)
        self.to = to


class Unreachable(DeliveryError):
    """Nothing can be sent to this chat any longer: the bot was blocked or removed."""


class Refused(DeliveryError):
    """The messenger will never accept this message."""


class NotConnected(DeliveryError):
    """The messenger is unreachable: the message definitely did not arrive, and this does not count
    as a try.
    """


class InboundChannel(Protocol):
    """Inbound side of a messenger.

    keeps_updates: how long the messenger stores updates for an offline bot; None: indefinitely.
    """

    @property
    def name(self) -> str:
        """The channel's name, as in Address.channel: "telegram"."""

    @property
    def keeps_updates(self) -> timedelta | None:
        """How long the messenger stores updates for an offline bot."""

    def numbered(self, raws: Sequence[Any]) -> list[tuple[str, Any]]:
        """Each update that can be stored, with the messenger's id, in the order sent."""

    def read(self, raw: Any) -> Update:
        """Parse an update. Never raises; any input gives a value."""

    async def fetch(self, file: RemoteFile, held: float, picture: bool = False) -> bytes:
        """Fetch a recording or picture, retrying for `held` seconds. Raises Unfetched, NotYet."""

    async def answer_press(self, press: ButtonPress, toast: str) -> None:
        """Acknowledge a pressed button; toast: a line shown there. Never raises."""

    async def show_busy(self, chat: str) -> None:
        """Show an activity indicator in a chat repeatedly until cancelled."""


@dataclass(frozen=True)
class Delivery:
    """One message to send. chat: our name of its current chat. live: its buttons may still be
    pressed. replaces: the messenger's id of the message it replaces.
    """

    outbound: OutboundMessage
    chat: str
    live: bool = True
    replaces: str | None = None


class OutboundChannel(Protocol):
    """Outbound side of a messenger."""

    async def deliver(self, delivery: Delivery) -> str | None:
        """Send one message. Returns the messenger's id, None if it gives none. Raises
        DeliveryError.
        """

    async def say_now(self, chat: str, line: str) -> None:
        """Send a line bypassing the outbox, while nothing can be written. Raises DeliveryError."""


class Pace(Protocol):
    """Rate limits of a messenger. Chats by our names, times in seconds."""

    def wait(self, chat: str, now: float) -> float:
        """Seconds until a message may be sent to this chat; 0 for now."""

    def went(self, chat: str, now: float) -> None:
        """Record that a message is being sent to this chat now."""

    def hold(self, chat: str, seconds: float, now: float) -> None:
        """Hold messages to this chat for that long; others continue."""

    def forget(self, now: float) -> None:
        """Discard state of chats that have been quiet for long."""
