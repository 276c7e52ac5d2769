"""What is made of one message, in two halves: a slow one that writes nothing, a quick one inside
the transaction.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, TypeVar

from doorround.channels.messenger.results import Reply, StartCheck
from doorround.channels.messenger.updates import ButtonPress, Message
from doorround.logbook.inbox import Arrived
from doorround.logbook.outgoing import Outgoing

P = TypeVar("P")
"""What a conversation prepares: the slow half of a message, for the quick one."""


@dataclass(frozen=True)
class UpdateOutcome:
    """What came of a message. moved_on: the talk took a turn, so that the buttons before it are
    stale.

    toast: a line shown at a pressed button. outcome: for the inbox, in a few words.
    """

    out: tuple[Outgoing, ...] = ()
    moved_on: bool = False
    toast: str = ""
    outcome: str = "answered"


@dataclass(frozen=True)
class Inbound:
    """One message or tap of a known person. arrived: as it stands in the inbox. chat: our name of
    it. at: when it was sent, UTC.

    late: its file could not be had before; gone_on: the talk has moved on since.
    """

    arrived: Arrived
    chat: str
    person: str
    update: Message | ButtonPress
    at: datetime
    late: bool = False
    gone_on: bool = False

    @property
    def update_id(self) -> str:
        """The messenger's own id of the update."""
        return self.arrived.update_id


class Conversation(Protocol[P]):
    """Talks with known people."""

    async def prepare(self, inbound: Inbound) -> P:
        """Fetch and hear; may take long, may be cancelled and done again. Enters nothing in the
        logbook. Raises NotYet for what cannot be fetched now: it stays in the inbox, and is given
        again later.
        """

    def commit(self, inbound: Inbound, prepared: P) -> UpdateOutcome:
        """Deal with it.

        Inside the transaction that marks the update as done and writes the answer: never waits.
        """


class AccessPolicy(Protocol):
    """Says who is known, what others are told, and what is no talk at a door. All inside the
    transaction that marks the update as done, as Conversation.commit: never waits.
    """

    def called(self, bot_name: str) -> None:
        """Learn the bot's user name."""

    def person(self, chat: str) -> str | None:
        """Who writes in this chat; None for somebody unknown."""

    def checks(self, chat: str) -> bool:
        """Whether the known person of this chat may check doors."""

    def stranger(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """What somebody unknown is told; may make them known."""

    def order(
        self, chat: str, update: Message | ButtonPress, at: datetime
    ) -> Reply | StartCheck | None:
        """What a known person is told, or the door they are at; None for what goes to the
        conversation.
        """

    def in_group(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """What is said in a group."""
