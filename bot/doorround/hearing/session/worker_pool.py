"""Worker pool: a few processes recognise the recordings of many chats, off the event loop, with a
bounded queue.

Processes, not threads: PocketSphinx holds the GIL while it decodes, so two threads reached 1.3 to
1.6 times the throughput of one, and two processes 2.0 times (tests/benchmarks/bench_pool.py). A
crash of an engine affects no chat.
"""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from dataclasses import replace
from typing import Any

from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard, BadAudio, RecordingProblem
from doorround.hearing.session.recognition_worker import (
    PATIENCE,
    AtWhichDoor,
    Engines,
    Idle,
    ListeningTask,
    UnknownRegister,
    Version,
    Worker,
    no_version,
)
from doorround.messages import recordings

WORKERS = 2
WAITING = 8
"""Queue length in recordings. One takes about 0.4 s, so the last waits 2 s; further ones are
rejected at once, and the caretaker is told.
"""


class Pool:
    """Recognises recordings of many chats. Use it from one event loop; start it with `async with`.

    make: creates a worker's engines. It is pickled for another process, so it must be importable.
    """

    def __init__(
        self,
        make: Callable[[], Engines],
        workers: int = WORKERS,
        waiting: int = WAITING,
        longest_note_s: float = 180.0,
        leaving: float = PATIENCE,
        idle: Idle | None = None,
        version: Version = no_version,
    ) -> None:
        """leaving: seconds for the workers to finish their jobs when the pool closes; then they are
        killed.

        idle: work for a worker's engines while it has no job, in small steps. version: what the
        engines are made from; a worker makes them again when it changes. Both are pickled, too.
        """
        self._leaving = leaving
        self._workers = list[Worker]()
        self._idle = idle
        self._version = version
        self._make = make
        self._count = workers
        self._most = workers + waiting
        self._longest_note_s = longest_note_s
        self._inside = 0
        self._chats: dict[str, tuple[asyncio.Lock, list[None]]] = {}

    async def __aenter__(self) -> Pool:
        self._threads = ThreadPoolExecutor(self._count)
        self._free: asyncio.Queue[Worker] = asyncio.Queue()
        self._workers = [
            Worker(self._make, self._longest_note_s, self._idle, self._version)
            for _ in range(self._count)
        ]
        for worker in self._workers:
            self._free.put_nowait(worker)
        return self

    async def __aexit__(self, *_why: object) -> None:
        """Accept no more jobs, let the workers finish running and queued ones, then stop them."""
        self._most = 0
        idle: list[Worker] = []
        with suppress(TimeoutError):
            async with asyncio.timeout(self._leaving):
                while len(idle) < self._count:
                    idle.append(await self._free.get())
        for worker in self._workers:
            if worker not in idle:
                worker.stop()
        idle += [await self._free.get() for _ in range(self._count - len(idle))]
        await asyncio.gather(*(asyncio.to_thread(worker.end, self._leaving) for worker in idle))
        self._threads.shutdown()

    @property
    def busy(self) -> bool:
        """Whether another recording would be rejected now."""
        return self._inside >= self._most

    @asynccontextmanager
    async def in_order(self, chat: str) -> AsyncIterator[None]:
        """Serialise a chat's messages in order of arrival: each sets the grammar of the next."""
        lock, users = self._chats.setdefault(chat, (asyncio.Lock(), []))
        users.append(None)
        try:
            async with lock:
                yield
        finally:
            users.pop()
            if not users:
                del self._chats[chat]

    async def hear(self, recording: bytes, wanted: ListeningTask) -> AnyHeard | AnyDoorReference:
        """Recognise a recording. Returns BadAudio with the problem BUSY if the queue is full, and
        FAILED if the engines failed.

        Raises EngineUnavailable. Store the recording first, so nothing said is ever lost.
        """
        if self.busy:
            return BadAudio(advice=recordings.BUSY, problem=RecordingProblem.BUSY)
        self._inside += 1
        try:
            for _attempt in range(2):  # the recording may not have caused the crash
                heard = await self._once(recording, wanted)
                if heard is not None:
                    return heard
            return BadAudio(advice=recordings.NOT_WORKED_OUT, problem=RecordingProblem.FAILED)
        finally:
            self._inside -= 1

    async def _once(
        self, recording: bytes, wanted: ListeningTask
    ) -> AnyHeard | AnyDoorReference | None:
        worker = await self._free.get()
        job = asyncio.get_running_loop().run_in_executor(
            self._threads, self._answer, worker, recording, wanted
        )
        # free the worker when it is done, not when the caller is cancelled
        job.add_done_callback(lambda _job: self._free.put_nowait(worker))
        answer = await asyncio.shield(job)
        if isinstance(answer, Exception):
            raise answer
        heard: AnyHeard | AnyDoorReference | None = answer
        return heard

    @staticmethod
    def _answer(worker: Worker, recording: bytes, wanted: ListeningTask) -> Any:
        if not isinstance(wanted, AtWhichDoor):
            return worker.hear(recording, wanted)
        answer = worker.hear(recording, replace(wanted, doors=None))
        return worker.hear(recording, wanted) if isinstance(answer, UnknownRegister) else answer
