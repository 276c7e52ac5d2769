"""Re-encodes pictures in a separate process, so that a picture that crashes its decoder crashes
only that process.

Run as `python -m doorround.channels.talk.photo_process`, it is that process: a picture on stdin,
the photo on stdout.
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
"""A 50-megapixel phone picture takes 380 to 500 MB, as JPEG, PNG or AVIF. A WebP takes 17 bytes a
pixel. On systems without such a limit (Windows, macOS), only the number of pixels is limited.
"""
MAX_SECONDS = 20.0
"""A phone picture takes up to two."""
TRIES = 2

# Exit codes, besides Python's own 0, 1 and 2.
_REFUSED = 3
_NO_MEMORY = 4


class Lost(BadPicture):
    """The process crashed or hung, on every try."""


async def draw(picture: bytes) -> bytes:
    """Like pictures.clean(), in a separate process, which is killed on cancellation. Raises
    BadPicture, Lost.
    """
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
    """Like draw(), blocking. Raises BadPicture, Lost."""
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
    # a single malloc arena: each further one reserves 64 MB of memory that is never used
    return {
        **os.environ,
        "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
        "MALLOC_ARENA_MAX": "1",
    }


def _photo(code: int | None, out: bytes) -> bytes | None:
    """The process's output; None if it ended otherwise. Raises BadPicture."""
    if code == _REFUSED:
        raise BadPicture(out.decode())
    if code == _NO_MEMORY:
        raise BadPicture(photos.TOO_LARGE)
    return out if code == 0 and out else None


def _limit() -> None:
    """Limit this process's memory, and its CPU time too, so that it ends even if nobody waits for
    it.
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
    """Convert one picture. Returns the exit code."""
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
