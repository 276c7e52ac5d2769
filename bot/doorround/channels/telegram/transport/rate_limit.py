"""How fast messages may go out: overall, to one chat, to one group.

Pure: times are arguments, in seconds.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass, field

from doorround.domain.address import Address


@dataclass(frozen=True)
class Limits:
    """What Telegram asks for: messages a second overall, seconds between those of a chat, messages
    a minute of a group.

    burst: how many a chat may get at once after a quiet while. Source: the Bot API's own FAQ, from
    memory.
    """

    overall: int = 30
    between: float = 1.0
    burst: int = 3
    group: int = 20


@dataclass
class _Chat:
    """next: when the chat has used up what it was sent. held: not before. minute: when a group's
    last went.
    """

    next: float = 0.0
    held: float = 0.0
    minute: deque[float] = field(default_factory=deque)


class RateLimit:
    """A Pace: says how long to wait, and is told what went out. Chats by our names of them."""

    def __init__(self, limits: Limits | None = None) -> None:
        self._limits = limits or Limits()
        self._second: deque[float] = deque()
        self._chats: dict[str, _Chat] = {}

    def wait(self, chat: str, now: float) -> float:
        """Seconds until a message may go to this chat; 0 for now."""
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
        """A message goes to this chat now."""
        self._second.append(now)
        known = self._chats.setdefault(chat, _Chat())
        known.next = max(known.next, now) + self._limits.between
        if _is_group(chat):
            known.minute.append(now)

    def hold(self, chat: str, seconds: float, now: float) -> None:
        """Send this chat nothing for so long; the others go on."""
        known = self._chats.setdefault(chat, _Chat())
        known.held = max(known.held, now + seconds)

    def forget(self, now: float) -> None:
        """Drop what is known of chats that have long been quiet."""
        for chat, known in list(self._chats.items()):
            if max(known.next, known.held, known.minute[-1] + 60 if known.minute else 0.0) < now:
                del self._chats[chat]


def _is_group(chat: str) -> bool:
    """Groups have negative numbers. Source: the Bot API, Chat, from memory."""
    return Address.read(chat).id.startswith("-")
