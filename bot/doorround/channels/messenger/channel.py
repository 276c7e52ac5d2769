"""What a channel is to everything else: something that reads updates, and something that sends.

Each channel is a folder that implements these; the rest of `messenger` knows no more of it than its
name. See "How to add a channel" in DEVELOPERS.md.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta
from typing import Any, Protocol

from doorround.channels.messenger.updates import ButtonPress, RemoteFile, Update
from doorround.logbook.outbox import OutboundMessage

HELD_S = 30.0
"""Seconds of failures and "slower" that a chat waits for a file. Then it is put off, and what comes
after goes on."""


class Unfetched(Exception):
    """A file cannot be had. Says what to do instead."""


class NotYet(Exception):
    """A file cannot be had now. Says so in one line; gone: the line where it never comes."""

    def __init__(self, line: str, gone: str) -> None:
        super().__init__(line)
        self.gone = gone


class DeliveryError(Exception):
    """A message did not go out. Says why. It is tried again, and given up after many tries."""


class SlowDown(DeliveryError):
    """The messenger asks to leave this chat alone. seconds: for how long."""

    def __init__(self, why: str, seconds: float) -> None:
        super().__init__(why)
        self.seconds = seconds


class ChatMoved(DeliveryError):
    """The chat is another one now. to: our name of it, "telegram/-1009"."""

    def __init__(self, why: str, to: str) -> None:
        super().__init__(why)
        self.to = to


class Unreachable(DeliveryError):
    """Nothing can be sent to this chat any more: the bot was blocked or put out."""


class Refused(DeliveryError):
    """The messenger will never take this message."""


class NotConnected(DeliveryError):
    """The messenger itself cannot be reached: this certainly did not arrive, and is no try."""


class InboundChannel(Protocol):
    """How updates of one messenger are read.

    keeps_updates: how long the messenger keeps them for a bot that does not ask; None for good.
    """

    @property
    def name(self) -> str:
        """The channel's name, as in Address.channel: "telegram"."""

    @property
    def keeps_updates(self) -> timedelta | None:
        """How long the messenger keeps updates for a bot that is away."""

    def numbered(self, raws: Sequence[Any]) -> list[tuple[str, Any]]:
        """Each update that can be kept, with the messenger's own id of it, in the order sent."""

    def read(self, raw: Any) -> Update:
        """What an update says. Never raises; whatever comes is a value."""

    async def fetch(self, file: RemoteFile, held: float, picture: bool = False) -> bytes:
        """A recording or a picture, tried again for `held` seconds. Raises Unfetched, NotYet."""

    async def answer_press(self, press: ButtonPress, toast: str) -> None:
        """End the waiting sign of a pressed button; toast: a line shown there. Never raises."""

    async def show_busy(self, chat: str) -> None:
        """Show in a chat that something is being done, again and again until cancelled."""


@dataclass(frozen=True)
class Delivery:
    """One message to be sent. chat: our name of where it goes now. live: its buttons may still be
    pressed. replaces: the messenger's id of the message that it takes the place of."""

    outbound: OutboundMessage
    chat: str
    live: bool = True
    replaces: str | None = None


class OutboundChannel(Protocol):
    """How messages of one messenger are sent."""

    async def deliver(self, delivery: Delivery) -> str | None:
        """Send one message. Returns the messenger's id of it, None where it gives none. Raises
        DeliveryError."""

    async def say_now(self, chat: str, line: str) -> None:
        """Send a line past the outbox, while nothing can be written. Raises DeliveryError."""


class Pace(Protocol):
    """How fast a messenger takes messages. Chats by our names, times in seconds."""

    def wait(self, chat: str, now: float) -> float:
        """Seconds until a message may go to this chat; 0 for now."""

    def went(self, chat: str, now: float) -> None:
        """A message goes to this chat now."""

    def hold(self, chat: str, seconds: float, now: float) -> None:
        """Send this chat nothing for so long; the others go on."""

    def forget(self, now: float) -> None:
        """Drop what is known of chats that have long been quiet."""
