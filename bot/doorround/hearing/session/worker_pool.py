"""Many chats at once: recordings heard by a few worker processes, off the event loop, with a line
that is never long.

Processes, not threads: PocketSphinx holds Python's lock while it hears, so that two threads heard
1.3 to 1.6 times what one hears, two processes 2.0 times (tests/benchmarks/bench_pool.py); and an
engine that crashes takes no chat with it.
"""

from __future__ import annotations

import asyncio
import hashlib
import multiprocessing
from collections.abc import AsyncIterator, Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.door import Door
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard, BadAudio, OffGrammar, Silence
from doorround.hearing.audio.decoding import BadAudio as BadRecording
from doorround.hearing.audio.decoding import Sound, load_sound
from doorround.hearing.audio.reader_process import bounded
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.hearing.session.warm_up import until_asked

WORKERS = 2
WAITING = 8
"""Recordings that may wait for a worker. One takes some 0.4 s, so the last in the line waits 2 s;
of more, the caretaker is told at once.
"""

PATIENCE = 120.0
"""Seconds after which a worker is taken to hang.

Three minutes of talk, the longest note, take a quarter of that.
"""

BUSY = (
    "I am busy with other doors. Your recording is kept, but not heard yet: send it again in a"
    " moment, or tap."
)
LOST = "I could not work that recording out. It is kept. Say it again, or tap."


@dataclass(frozen=True)
class AtQuestion:
    """Hear an answer, at this point of a talk."""

    expected: ExpectedInput


@dataclass(frozen=True)
class Note:
    """Hear a note: its words as well as they can be had."""


@dataclass(frozen=True)
class AtWhichDoor:
    """Hear which door is meant. register: the same as long as the doors are; doors: None where a
    worker has them.
    """

    register: str
    offered: tuple[Door, ...]
    doors: tuple[Door, ...] | None = None


Wanted = AtQuestion | Note | AtWhichDoor
Engines = tuple[RecognitionPipeline, Interpreter]
Idle = Callable[[RecognitionPipeline, Interpreter], Iterator[None]]


class UnknownRegister(Exception):
    """A worker has not these doors yet: send them."""


class Hearing:
    """What one worker does: its engines, its grammars and registers, each made once and kept."""

    def __init__(self, engines: Engines, longest_note_s: float) -> None:
        self._ear, self._understanding = engines
        self._longest_note_s = longest_note_s
        self._registers: LruCache[str, DoorResolver] = LruCache(2)

    def hear(self, recording: bytes, wanted: Wanted) -> AnyHeard | AnyDoorReference:
        """What a recording says. Raises UnknownRegister."""
        if isinstance(wanted, AtWhichDoor):
            which = self._which(wanted)
        try:
            with bounded():
                sound = load_sound(recording, self._longest_note_s)
        except BadRecording as bad:
            return BadAudio(advice=str(bad), audio_sha256=hashlib.sha256(recording).hexdigest())
        if isinstance(wanted, AtWhichDoor):
            return which.hear(self._ear, sound, wanted.offered)
        if isinstance(wanted, Note):
            return note(self._ear, sound)
        return recognise_turn(self._ear, self._understanding, sound, wanted.expected)

    def _which(self, wanted: AtWhichDoor) -> DoorResolver:
        doors = wanted.doors
        if doors is not None:
            return self._registers.get(
                wanted.register,
                lambda: DoorResolver(NameIndex(doors, self._understanding.grammar_set)),
            )
        if wanted.register not in self._registers:
            raise UnknownRegister
        return self._registers.get(
            wanted.register, lambda: DoorResolver(NameIndex((), self._understanding.grammar_set))
        )


def note(pipeline: RecognitionPipeline, sound: Sound) -> AnyHeard:
    """A note by its recording, with the words as best they could be had."""
    if not detect_speech(sound).anyone:
        return Silence(audio_sha256=sound.sha256)
    return OffGrammar(words=pipeline.best_effort_words(sound), audio_sha256=sound.sha256)


def _serve(
    jobs: Connection,
    answers: Connection,
    make: Callable[[], Engines],
    longest_note_s: float,
    idle: Idle | None,
) -> None:
    """A worker's life: one job after the other until None comes, or nobody is there to send one."""
    import av  # noqa: F401 - before the bounds within which it reads

    work: Iterator[None] = iter(())
    try:
        engines = make()
        hearing: Hearing | Exception = Hearing(engines, longest_note_s)
        work = idle(*engines) if idle else work
    except Exception as error:
        hearing = error
    with suppress(EOFError, BrokenPipeError, KeyboardInterrupt):
        while (job := until_asked(work, jobs)) is not None:
            try:
                if isinstance(hearing, Exception):
                    raise hearing
                answers.send(hearing.hear(*job))
            except Exception as error:
                answers.send(error)


class _Worker:
    """One process with its engines. Made anew when it dies."""

    def __init__(
        self, make: Callable[[], Engines], longest_note_s: float, idle: Idle | None
    ) -> None:
        self._arguments = make, longest_note_s, idle
        self._stopped = False
        self._begin()

    def _begin(self) -> None:
        context = multiprocessing.get_context(
            "spawn"
        )  # engines have threads of their own, which a fork would break
        jobs, self._jobs = context.Pipe(duplex=False)
        self._answers, answers = context.Pipe(duplex=False)
        self.process = context.Process(
            target=_serve, args=(jobs, answers, *self._arguments), daemon=True
        )
        self.process.start()
        jobs.close()
        answers.close()

    def hear(self, recording: bytes, wanted: Wanted) -> Any:
        """What came of one recording; None where the worker died of it or hung. Blocks."""
        try:
            self._jobs.send((recording, wanted))
            if self._answers.poll(PATIENCE):
                return self._answers.recv()
        except (EOFError, OSError):
            pass
        if not self._stopped:
            self.end(0)
            self._begin()
        return None

    def stop(self) -> None:
        """Stop the process in the middle of what it hears, for good.

        From another thread than hear().
        """
        self._stopped = True
        self.process.kill()

    def end(self, patience: float) -> None:
        """Stop the process; it may finish what it hears for so many seconds."""
        with suppress(OSError):
            self._jobs.send(None)
        if patience:
            self.process.join(patience)
        if self.process.is_alive():
            self.process.kill()
        self.process.join()
        self._jobs.close()
        self._answers.close()


class Pool:
    """Hears recordings of many chats. Used from one event loop; start it with `async with`.

    make: gives a worker its engines; it is sent to another process, so it must be a function that
    can be imported.
    """

    def __init__(
        self,
        make: Callable[[], Engines],
        workers: int = WORKERS,
        waiting: int = WAITING,
        longest_note_s: float = 180.0,
        leaving: float = PATIENCE,
        idle: Idle | None = None,
    ) -> None:
        """leaving: seconds that the workers have to finish what they hear when the pool ends; then
        they are stopped.

        idle: what a worker does with its engines while it has nothing to hear, in little pieces.
        """
        self._leaving = leaving
        self._workers = list[_Worker]()
        self._idle = idle
        self._make = make
        self._count = workers
        self._most = workers + waiting
        self._longest_note_s = longest_note_s
        self._inside = 0
        self._chats: dict[str, tuple[asyncio.Lock, list[None]]] = {}

    async def __aenter__(self) -> Pool:
        self._threads = ThreadPoolExecutor(self._count)
        self._free: asyncio.Queue[_Worker] = asyncio.Queue()
        self._workers = [
            _Worker(self._make, self._longest_note_s, self._idle) for _ in range(self._count)
        ]
        for worker in self._workers:
            self._free.put_nowait(worker)
        return self

    async def __aexit__(self, *_why: object) -> None:
        """Take nothing more, let the workers finish what they hear and what waits, then end
        them.
        """
        self._most = 0
        idle: list[_Worker] = []
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
        """Whether another recording would be turned away now."""
        return self._inside >= self._most

    @asynccontextmanager
    async def in_order(self, chat: str) -> AsyncIterator[None]:
        """One message of a chat at a time, in the order they came; what one says decides how the
        next is heard.
        """
        lock, users = self._chats.setdefault(chat, (asyncio.Lock(), []))
        users.append(None)
        try:
            async with lock:
                yield
        finally:
            users.pop()
            if not users:
                del self._chats[chat]

    async def hear(self, recording: bytes, wanted: Wanted) -> AnyHeard | AnyDoorReference:
        """What a recording says. BadAudio with BUSY where the line is full, with LOST where the
        engines failed at it.

        Raises EngineUnavailable. The recording should be stored before: nothing said is then ever
        lost.
        """
        if self.busy:
            return BadAudio(advice=BUSY)
        self._inside += 1
        try:
            for _attempt in range(2):  # an engine that died may have died of something else
                heard = await self._once(recording, wanted)
                if heard is not None:
                    return heard
            return BadAudio(advice=LOST)
        finally:
            self._inside -= 1

    async def _once(self, recording: bytes, wanted: Wanted) -> AnyHeard | AnyDoorReference | None:
        worker = await self._free.get()
        job = asyncio.get_running_loop().run_in_executor(
            self._threads, self._answer, worker, recording, wanted
        )
        # not when the caller goes away, but when the worker is done
        job.add_done_callback(lambda _job: self._free.put_nowait(worker))
        answer = await asyncio.shield(job)
        if isinstance(answer, Exception):
            raise answer
        heard: AnyHeard | AnyDoorReference | None = answer
        return heard

    @staticmethod
    def _answer(worker: _Worker, recording: bytes, wanted: Wanted) -> Any:
        if not isinstance(wanted, AtWhichDoor):
            return worker.hear(recording, wanted)
        answer = worker.hear(recording, AtWhichDoor(wanted.register, wanted.offered))
        return worker.hear(recording, wanted) if isinstance(answer, UnknownRegister) else answer
