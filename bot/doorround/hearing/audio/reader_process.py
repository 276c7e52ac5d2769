"""Decodes recordings in a separate process, limited in memory and time.

A decoder given untrusted data may crash, hang or exhaust memory. Then this process is lost and
restarted, without affecting anything else.
"""

from __future__ import annotations

import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import lru_cache
from multiprocessing.connection import Connection
from pathlib import Path

from doorround.hearing.audio.decoding import MAX_SECONDS, load_sound
from doorround.hearing.audio.sound import Sound, UnusableAudio
from doorround.messages import recordings

ROOM = 1 << 30
"""Bytes of address space that decoding one recording may add to the process.

Three minutes take 40 MB.
"""

PATIENCE = 60.0
"""Timeout of decoding in seconds. Three minutes take 0.2 s."""

UNREADABLE = "unreadable"

Source = Path | str | bytes


def unreadable(source: Source) -> str:
    """Error for a recording that crashed or hung its decoder."""
    name = recordings.THE_RECORDING if isinstance(source, bytes) else Path(source).name
    return recordings.unreadable(name)


@contextmanager
def bounded(room: int = ROOM) -> Iterator[None]:
    """Within this context, the process gets no more than `room` bytes of memory: beyond that
    MemoryError is raised, or a library that ignores it crashes the process. No limit on systems
    without support (Linux has it).
    """
    try:
        import resource

        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
        before, most = resource.getrlimit(resource.RLIMIT_AS)
    except (ImportError, OSError):
        yield
        return
    wanted = pages * os.sysconf("SC_PAGE_SIZE") + room
    ceilings = [limit for limit in (before, most) if limit != resource.RLIM_INFINITY]
    resource.setrlimit(resource.RLIMIT_AS, (min([wanted, *ceilings]), most))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, (before, most))


class ReaderProcess:
    """Decodes recordings in a process that is started with the first.

    Thread-safe; threads take turns.
    """

    def __init__(self, patience: float = PATIENCE, room: int = ROOM) -> None:
        """patience: timeout per recording in seconds. room: memory limit in bytes."""
        self._patience = patience
        self._room = room
        self._lock = threading.Lock()
        self._process: multiprocessing.process.BaseProcess | None = None
        self._line: Connection

    def read(self, source: Source, max_seconds: float = MAX_SECONDS) -> Sound:
        """Like load_sound().

        Raises BadAudio, with problem UNREADABLE if the process crashed or hung.
        """
        with self._lock:
            found = self._asked(source, max_seconds)
            if found is None:
                self._end()
                raise UnusableAudio(UNREADABLE, unreadable(source))
        if isinstance(found, Sound):
            return found
        raise UnusableAudio(*found)

    def end(self) -> None:
        """Stop the process. The next recording starts another."""
        with self._lock:
            self._end()

    def _asked(self, source: Source, max_seconds: float) -> Sound | tuple[str, str] | None:
        for _attempt in range(2):
            begun = self._begin()
            try:
                self._line.send((source, max_seconds))
                break
            except OSError:  # it died while idle: another will do
                self._end()
                if begun:
                    return None
        with suppress(EOFError, OSError):
            if self._line.poll(self._patience):
                answer: Sound | tuple[str, str] = self._line.recv()
                return answer
        return None

    def _begin(self) -> bool:
        """Whether the process had to be started."""
        if self._process is not None:
            return False
        context = multiprocessing.get_context("spawn")  # a fork would copy the engines' threads
        self._line, theirs = context.Pipe()
        self._process = context.Process(target=_serve, args=(theirs, self._room), daemon=True)
        self._process.start()
        theirs.close()
        return True

    def _end(self) -> None:
        if self._process is not None:
            self._process.kill()
            self._process.join()
            self._line.close()
            self._process = None


@lru_cache(maxsize=1)
def reader() -> ReaderProcess:
    """This process's singleton."""
    return ReaderProcess()


def read_apart(source: Source, max_seconds: float = MAX_SECONDS) -> Sound:
    """Decode the recording in another process. Raises BadAudio."""
    return reader().read(source, max_seconds)


def _serve(line: Connection, room: int) -> None:
    import av  # noqa: F401 - takes memory of its own, once

    signal.signal(
        signal.SIGINT, signal.SIG_IGN
    )  # Ctrl-C is handled by the parent; a closed pipe ends this
    with suppress(EOFError, OSError):
        while True:
            source, max_seconds = line.recv()
            line.send(_read(source, max_seconds, room))


def _read(source: Source, max_seconds: float, room: int) -> Sound | tuple[str, str]:
    try:
        with bounded(room):
            return load_sound(source, max_seconds)
    except UnusableAudio as bad:
        return bad.problem, str(bad)
    except Exception:  # any error from the library
        return UNREADABLE, unreadable(source)
