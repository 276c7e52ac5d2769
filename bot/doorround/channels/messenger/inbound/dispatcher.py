"""Dispatches stored updates to their handler: sequentially within a chat, concurrently across
chats.
"""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Awaitable, Callable, Iterable, Sequence

log = logging.getLogger("doorround.messenger")

ALONE_S = 60.0


class PerChatQueue:
    """handle: processes one stored update; if cancelled, it is resumed at the next start."""

    def __init__(self, handle: Callable[[int], Awaitable[None]]) -> None:
        self._handle = handle
        self._queues: dict[str, deque[int]] = {}
        self._tasks: set[asyncio.Task[None]] = set()
        self._later: set[asyncio.TimerHandle] = set()
        self._open = asyncio.Event()
        self._open.set()

    def first(self, ids: Sequence[int]) -> None:
        """Process these first and one at a time, so that an update that crashes the process does so
        alone; each has ALONE_S, after which it runs alongside the others.
        """
        if not ids:
            return
        self._open.clear()
        task = asyncio.create_task(self._one_by_one(ids))
        self._tasks.add(task)
        task.add_done_callback(self._tasks.discard)

    async def _one_by_one(self, ids: Sequence[int]) -> None:
        try:
            for id in ids:
                try:
                    async with asyncio.timeout(ALONE_S):
                        await self._handle(id)
                except TimeoutError:
                    log.warning(
                        "update %d of the inbox takes long and now runs alongside others", id
                    )
                except Exception:
                    log.exception("update %d of the inbox was postponed", id)
        finally:
            self._open.set()

    def arrived(self, updates: Iterable[tuple[int, str]]) -> None:
        """Enqueue updates (id, chat), in order."""
        for id, chat in updates:
            queue = self._queues.get(chat)
            if queue is not None:
                queue.append(id)
                continue
            self._queues[chat] = deque([id])
            task = asyncio.create_task(self._work(chat))
            self._tasks.add(task)
            task.add_done_callback(self._tasks.discard)

    def put_off(self, id: int, chat: str, seconds: float) -> None:
        """Re-enqueue an update after a delay; updates arriving meanwhile go first."""

        def again() -> None:
            self._later.discard(timer)
            self.arrived([(id, chat)])

        timer = asyncio.get_running_loop().call_later(seconds, again)
        self._later.add(timer)

    async def quiet(self) -> None:
        """Wait until every enqueued update is processed."""
        while self._tasks:
            await asyncio.wait(set(self._tasks))

    async def finish(self) -> None:
        """Stop; transactions stay whole, since nothing waits inside one."""
        for timer in self._later:
            timer.cancel()
        for task in self._tasks:
            task.cancel()
        await asyncio.gather(*self._tasks, return_exceptions=True)

    async def _work(self, chat: str) -> None:
        queue = self._queues[chat]
        try:
            await self._open.wait()
            while queue:
                try:
                    await self._handle(queue.popleft())
                except Exception:
                    log.exception("an update of %s was left for the next start", chat or "no chat")
                await asyncio.sleep(0)  # fairness: a chat with many updates lets others go first
        finally:
            del self._queues[chat]
