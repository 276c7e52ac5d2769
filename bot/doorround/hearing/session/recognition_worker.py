"""A worker process that recognises recordings; it loads its engines and grammars once."""

from __future__ import annotations

import hashlib
import logging
import multiprocessing
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from multiprocessing.connection import Connection
from typing import Any

from doorround.dialogue.expected_input import ExpectedInput
from doorround.domain.door import Door
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard, BadAudio, OffGrammar, Silence
from doorround.hearing.audio.decoding import load_sound
from doorround.hearing.audio.reader_process import bounded
from doorround.hearing.audio.sound import Sound, UnusableAudio
from doorround.hearing.audio.vad import detect_speech
from doorround.hearing.decision.pipeline import RecognitionPipeline
from doorround.hearing.door_names.door_resolver import DoorResolver
from doorround.hearing.door_names.name_index import NameIndex
from doorround.hearing.lru_cache import LruCache
from doorround.hearing.session.interpretation import Interpreter
from doorround.hearing.session.late_recordings import hear_late_fault
from doorround.hearing.session.turn_recogniser import recognise_turn
from doorround.hearing.session.warm_up import until_asked

log = logging.getLogger(__name__)
PATIENCE = 120.0
"""Timeout in seconds after which a worker is considered hung.

Three minutes of speech, the longest note, take a quarter of that.
"""


@dataclass(frozen=True)
class AtQuestion:
    """Recognise an answer at this point of a talk."""

    expected: ExpectedInput


@dataclass(frozen=True)
class Note:
    """Transcribe a note as well as possible."""


@dataclass(frozen=True)
class AtWhichDoor:
    """Recognise which door is meant. register: version of the doors; doors: None if the worker has
    them already. ended: state of the check before it, of which a fault may still be told.
    """

    register: str
    offered: tuple[Door, ...]
    doors: tuple[Door, ...] | None = None
    ended: ExpectedInput | None = None


ListeningTask = AtQuestion | Note | AtWhichDoor


Engines = tuple[RecognitionPipeline, Interpreter]


Idle = Callable[[RecognitionPipeline, Interpreter], Iterator[None]]


class UnknownRegister(Exception):
    """The worker does not have these doors yet: send them."""


class WorkerRecogniser:
    """Runs a worker's tasks. Its engines, grammars and registers are built once and cached."""

    def __init__(self, engines: Engines, longest_note_s: float) -> None:
        self._pipeline, self._understanding = engines
        self._longest_note_s = longest_note_s
        self._registers: LruCache[str, DoorResolver] = LruCache(2)

    def hear(self, recording: bytes, wanted: ListeningTask) -> AnyHeard | AnyDoorReference:
        """Recognise a recording. Raises UnknownRegister."""
        if isinstance(wanted, AtWhichDoor):
            which = self._which(wanted)
        try:
            with bounded():
                sound = load_sound(recording, self._longest_note_s)
        except UnusableAudio as bad:
            return BadAudio(advice=str(bad), audio_sha256=hashlib.sha256(recording).hexdigest())
        if isinstance(wanted, AtWhichDoor):
            named = which.hear(self._pipeline, sound, wanted.offered)
            engines = (self._pipeline, self._understanding)
            return hear_late_fault(engines, sound, named, wanted.ended)
        if isinstance(wanted, Note):
            return note(self._pipeline, sound)
        return recognise_turn(self._pipeline, self._understanding, sound, wanted.expected)

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
    """A note with its best-effort transcript; Silence if nobody speaks."""
    if not detect_speech(sound).anyone:
        return Silence(audio_sha256=sound.sha256)
    return OffGrammar(words=pipeline.ensemble.best_effort_words(sound), audio_sha256=sound.sha256)


Version = Callable[[], object]
"""What the engines were made from, such as the organisation's words."""


def no_version() -> object:
    """For engines that are made once."""
    return None


class CurrentEngines:
    """Engines made again when what they are made from has changed."""

    def __init__(self, make: Callable[[], Engines], version: Version) -> None:
        self._make = make
        self._version = version
        self._made_from = version()
        self.engines = make()

    def renewed(self) -> bool:
        """Whether there are new engines. If they cannot be made, the old ones stay."""
        now = self._version()
        if now == self._made_from:
            return False
        self._made_from = now
        try:
            self.engines = self._make()
        except Exception:
            log.exception(
                "The changed words cannot be used for speech; the earlier ones still are."
            )
            return False
        return True


def _serve(
    jobs: Connection,
    answers: Connection,
    make: Callable[[], Engines],
    longest_note_s: float,
    idle: Idle | None,
    version: Version,
) -> None:
    """Main loop of a worker: serve jobs until None arrives or the sender has gone."""
    import av  # noqa: F401 - before the bounds within which it reads

    work: Iterator[None] = iter(())
    try:
        current = CurrentEngines(make, version)
        hearing: WorkerRecogniser | Exception = WorkerRecogniser(current.engines, longest_note_s)
        work = idle(*current.engines) if idle else work
    except Exception as error:
        hearing = error
    with suppress(EOFError, BrokenPipeError, KeyboardInterrupt):
        while (job := until_asked(work, jobs)) is not None:
            try:
                if isinstance(hearing, Exception):
                    raise hearing
                if current.renewed():
                    hearing = WorkerRecogniser(current.engines, longest_note_s)
                answers.send(hearing.hear(*job))
            except Exception as error:
                answers.send(error)


class Worker:
    """One process with its engines, restarted if it dies."""

    def __init__(
        self,
        make: Callable[[], Engines],
        longest_note_s: float,
        idle: Idle | None,
        version: Version = no_version,
    ) -> None:
        self._arguments = make, longest_note_s, idle, version
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

    def hear(self, recording: bytes, wanted: ListeningTask) -> Any:
        """Result of one recording; None if the worker died or hung. Blocks."""
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
        """Kill the process permanently, even during a job.

        Call it from a thread other than that of hear().
        """
        self._stopped = True
        self.process.kill()

    def end(self, patience: float) -> None:
        """Stop the process. patience: seconds allowed to finish its current job."""
        with suppress(OSError):
            self._jobs.send(None)
        if patience:
            self.process.join(patience)
        if self.process.is_alive():
            self.process.kill()
        self.process.join()
        self._jobs.close()
        self._answers.close()
