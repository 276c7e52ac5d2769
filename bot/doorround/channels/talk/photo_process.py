"""Pictures drawn anew in a process of their own: what a picture does to its reader, it does to that
process alone.

Run as `python -m doorround.channels.talk.photo_process`, it is that process: a picture at its
input, the photo at its output.
"""

from __future__ import annotations

import asyncio
import os
import subprocess
import sys
from contextlib import suppress

from doorround.channels.talk.photo_cleaning import BadPicture, clean
from doorround.messages import photos

MAX_BYTES_OF_MEMORY = 768 * 2**20
"""A telephone's picture of 50 million pixels takes 380 to 500 MB, as JPEG, PNG or AVIF. A WebP
takes 17 bytes a pixel. Where the system knows no such limit (Windows, macOS), only the number of
pixels is limited.
"""
MAX_SECONDS = 20.0
"""A telephone's picture takes up to two."""
TRIES = 2

# What the process ends with, beside Python's own 0, 1 and 2.
_REFUSED = 3
_NO_MEMORY = 4


class Lost(BadPicture):
    """The process that drew it ended or hung, each time it was tried."""


async def draw(picture: bytes) -> bytes:
    """As pictures.clean(), apart. Cancelled, it ends the process. Raises BadPicture, Lost."""
    for _ in range(TRIES):
        process = await asyncio.create_subprocess_exec(
            *_command(),
            env=_environment(),
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
        )
        try:
            async with asyncio.timeout(MAX_SECONDS):
                out, _ = await process.communicate(picture)
        except TimeoutError:
            continue
        finally:
            if process.returncode is None:
                process.kill()
                await process.wait()
        if (photo := _photo(process.returncode, out)) is not None:
            return photo
    raise Lost(photos.NOT_WORKED_OUT)


def draw_now(picture: bytes) -> bytes:
    """As draw(), for who can wait. Raises BadPicture, Lost."""
    for _ in range(TRIES):
        with suppress(subprocess.TimeoutExpired):
            done = subprocess.run(
                _command(),
                env=_environment(),
                input=picture,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                timeout=MAX_SECONDS,
                check=False,
            )
            if (photo := _photo(done.returncode, done.stdout)) is not None:
                return photo
    raise Lost(photos.NOT_WORKED_OUT)


def _command() -> tuple[str, ...]:
    return sys.executable, "-m", "doorround.channels.talk.photo_process"


def _environment() -> dict[str, str]:
    # one arena: each that a thread begins counts 64 MB of memory that nobody uses
    return {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
        "MALLOC_ARENA_MAX": "1",
    }


def _photo(code: int | None, out: bytes) -> bytes | None:
    """What the process drew; None where it ended otherwise. Raises BadPicture."""
    if code == _REFUSED:
        raise BadPicture(out.decode())
    if code == _NO_MEMORY:
        raise BadPicture(photos.TOO_LARGE)
    return out if code == 0 and out else None


def _limit() -> None:
    """Bound what this process may take; the processor's time too, so that it ends even where nobody
    waits for it.
    """
    try:
        import resource
    except ImportError:
        return
    for kind, most in (
        (resource.RLIMIT_AS, MAX_BYTES_OF_MEMORY),
        (resource.RLIMIT_CPU, round(MAX_SECONDS)),
    ):
        with suppress(ValueError, OSError):
            resource.setrlimit(kind, (most, most))
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main() -> int:
    """Draw one picture. Returns the exit code."""
    _limit()
    picture = sys.stdin.buffer.read()
    try:
        photo = clean(picture)
    except BadPicture as bad:
        sys.stdout.buffer.write(str(bad).encode())
        return _REFUSED
    except MemoryError:
        return _NO_MEMORY
    sys.stdout.buffer.write(photo)
    return 0


if __name__ == "__main__":
    sys.exit(main())
