"""Two-phase processing of one message: a slow phase that writes nothing, a quick one inside the
transaction.
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
"""Result of the slow phase, passed to the quick one."""


@dataclass(frozen=True)
class UpdateOutcome:
    """Outcome of a message. moved_on: the talk took a turn, so earlier buttons are stale.

    toast: a line shown at a pressed button. outcome: for the inbox, in a few words.
    """

    out: tuple[Outgoing, ...] = ()
    moved_on: bool = False
    toast: str = ""
    outcome: str = "answered"


@dataclass(frozen=True)
class Inbound:
    """One message or tap from a known person. arrived: its inbox row. chat: our name of it. at:
    when it was sent, UTC.

    late: its file could not be fetched earlier; gone_on: the talk has moved on since.
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
        """Fetch and recognise; may take long, may be cancelled and repeated. Enters nothing in the
        logbook. Raises NotYet for a file that cannot be fetched now: the update stays in the inbox
        and is given again later.
        """

    def commit(self, inbound: Inbound, prepared: P) -> UpdateOutcome:
        """Process it.

        Runs inside the transaction that marks the update as done and writes the reply: never waits.
        """


class AccessPolicy(Protocol):
    """Decides who is known, notifies others, and handles anything outside the talk at a door. Like
    Conversation.commit, runs inside the transaction that marks the update as done: never waits.
    """

    def called(self, bot_name: str) -> None:
        """Set the bot's user name."""

    def person(self, chat: str) -> str | None:
        """The person of this chat; None if unknown."""

    def checks(self, chat: str) -> bool:
        """Whether the known person of this chat may check doors."""

    def stranger(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """Reply to a stranger; may make them known."""

    def order(
        self, chat: str, update: Message | ButtonPress, at: datetime
    ) -> Reply | StartCheck | None:
        """Reply to a known person, or the door they are at; None for input to the conversation."""

    def in_group(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """Reply in a group."""
