"""Outgoing rate limits: overall, per chat, per group.

Pure: times are arguments, in seconds.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from doorround.domain.address import Address


@dataclass(frozen=True)
class Limits:
    """Telegram's limits: messages a second overall, seconds between those to a chat, messages a
    minute to a group.

    burst: how many a chat may get at once after a quiet period. Source: the Bot API's own FAQ, from
    memory.
    """

    overall: int = 30
    between: float = 1.0
    burst: int = 3
    group: int = 20


@dataclass
class _Chat:
    """next: when the chat's quota is free again. held: not before. minute: send times of a group's
    recent messages.
    """

    next: float = 0.0
    held: float = 0.0
    minute: deque[float] = field(default_factory=deque)


class RateLimit:
    """A Pace: computes waits and records messages sent. Chats by our names of them."""

    def __init__(self, limits: Limits | None = None) -> None:
        self._limits = limits or Limits()
        self._second: deque[float] = deque()
        self._chats: dict[str, _Chat] = {}

    def wait(self, chat: str, now: float) -> float:
        """Seconds until a message may be sent to this chat; 0 for now."""
        limits = self._limits
        known = self._chats.get(chat)
        waits = [0.0]
        while self._second and self._second[0] <= now - 1:
            self._second.popleft()
        if len(self._second) >= limits.overall:
            waits.append(self._second[0] + 1 - now)
        if known is not None:
            waits.append(known.held - now)
            waits.append(known.next - (limits.burst - 1) * limits.between - now)
            while known.minute and known.minute[0] <= now - 60:
                known.minute.popleft()
            if _is_group(chat) and len(known.minute) >= limits.group:
                waits.append(known.minute[0] + 60 - now)
        return max(waits)

    def went(self, chat: str, now: float) -> None:
        """Record that a message is being sent to this chat now."""
        self._second.append(now)
        known = self._chats.setdefault(chat, _Chat())
        known.next = max(known.next, now) + self._limits.between
        if _is_group(chat):
            known.minute.append(now)

    def hold(self, chat: str, seconds: float, now: float) -> None:
        """Hold messages to this chat for that long; others continue."""
        known = self._chats.setdefault(chat, _Chat())
        known.held = max(known.held, now + seconds)

    def forget(self, now: float) -> None:
        """Discard state of chats that have been quiet for long."""
        for chat, known in list(self._chats.items()):
            if max(known.next, known.held, known.minute[-1] + 60 if known.minute else 0.0) < now:
                del self._chats[chat]


def _is_group(chat: str) -> bool:
    """Groups have negative ids. Source: the Bot API, Chat, from memory."""
    return Address.read(chat).id.startswith("-")
