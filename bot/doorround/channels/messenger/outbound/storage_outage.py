"""Notices while nothing can be written: from memory, once per sender, bypassing the outbox, which
is on disk.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from doorround.channels.messenger.channel import OutboundChannel
from doorround.logbook.errors import is_full
from doorround.messages import receiving

log = logging.getLogger("doorround.messenger")


@dataclass
class StorageOutage:
    """known: whether a known person writes in a chat; nobody else is notified. address: see
    Chats.address().
    """

    channel: OutboundChannel
    known: Callable[[str], bool]
    address: Callable[[str], str] = lambda chat: chat
    _failed: set[tuple[str, str]] = field(default_factory=set)
    _told: set[str] = field(default_factory=set)

    async def failed(self, at: str, chats: Iterable[str], error: BaseException) -> None:
        """Writing failed for these chats. On the second consecutive failure they are notified, and
        it is logged. at: the failing operation; it counts as failing until over() is called for it.
        """
        for chat in dict.fromkeys(chats):
            if (at, chat) not in self._failed:
                self._failed.add((at, chat))
            elif chat not in self._told:
                self._told.add(chat)
                log.warning("messages from %s are waiting: %s", chat or "no chat", error)
                await self._tell(
                    chat, receiving.DISK_FULL if is_full(error) else receiving.LOGBOOK_LOCKED
                )

    def over(self, at: str, chats: Iterable[str]) -> None:
        """Writing succeeded again for these chats."""
        if self._failed:
            self._failed.difference_update((at, chat) for chat in chats)
            self._told &= {chat for _, chat in self._failed}

    async def _tell(self, chat: str, line: str) -> None:
        try:
            if chat and self.known(chat):
                await self.channel.say_now(self.address(chat), line)
        except Exception as error:
            self._told.discard(chat)
            log.warning("%s could not be notified either: %s", chat, error)
