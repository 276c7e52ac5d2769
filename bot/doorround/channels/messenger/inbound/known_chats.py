"""The simplest access policy: whose chats the logbook knows, and nothing else."""

from __future__ import annotations

from datetime import datetime

from doorround.channels.messenger.results import Reply, tell
from doorround.channels.messenger.updates import ButtonPress, Message
from doorround.logbook.chats import Chats
from doorround.logbook.outbox import Outbox
from doorround.messages import receiving


class KnownChats:
    """An access policy that knows whose each chat is, admits nobody, and runs no commands."""

    def __init__(self, chats: Chats) -> None:
        self._chats = chats

    def called(self, bot_name: str) -> None:
        """Ignored."""

    def person(self, chat: str) -> str | None:
        """The person of this chat."""
        return self._chats.person(chat)

    def checks(self, chat: str) -> bool:
        """Everybody known may check doors."""
        return True

    def stranger(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """One polite line, the first time."""
        sent = Outbox(self._chats.logbook).all(chat)
        said = any(outbound.body.text == receiving.NOT_KNOWN for outbound in sent)
        return Reply() if said else tell(receiving.NOT_KNOWN)

    def order(self, chat: str, update: Message | ButtonPress, at: datetime) -> None:
        """Everything goes to the talk."""

    def in_group(self, chat: str, update: Message | ButtonPress, at: datetime) -> Reply:
        """Nothing."""
        return Reply()
