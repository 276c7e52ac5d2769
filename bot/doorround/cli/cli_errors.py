"""Shows expected errors as one line that a person can act on, instead of a traceback."""

from __future__ import annotations

import errno
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import typer


@contextmanager
def cli_errors() -> Iterator[None]:
    """Show an expected error as one line on stderr and exit with code 2; anything unexpected
    propagates.
    """
    from pydantic import ValidationError

    from doorround.domain.validation_errors import plain_error
    from doorround.hearing.errors import EngineUnavailable
    from doorround.logbook.errors import LogbookError

    try:
        yield
    except BrokenPipeError:
        raise
    except ValidationError as error:
        _leave(plain_error(error))
    except OSError as error:
        _leave(plain_os_error(error))
    except (LogbookError, EngineUnavailable, ValueError) as error:
        _leave(str(error))


_OS_ERRORS = {
    errno.ENOENT: "is not there. Look at its name and folder",
    errno.EACCES: "cannot be read or written by this account. Give it permission",
    errno.EPERM: "cannot be read or written by this account. Give it permission",
    errno.EISDIR: "is a folder, not a file",
    errno.ENOTDIR: "is inside something that is not a folder",
    errno.EEXIST: "is there already",
    errno.ENOSPC: "cannot be written, the disk is full. Make room and try again",
    errno.EROFS: "cannot be written, its disk is read-only",
    errno.ENAMETOOLONG: "is too long for a name",
}


def plain_os_error(error: OSError) -> str:
    """An operating system error in words: "photo.jpg is not there. Look at its name and
    folder.".
    """
    if error.errno in _OS_ERRORS:
        return f"{error.filename or 'A file'} {_OS_ERRORS[error.errno]}."
    if error.strerror is None:
        return str(error)
    return f"{error.filename}: {error.strerror}" if error.filename else f"{error.strerror}."


def text_of(path: Path) -> str:
    """The text of a hand-written file. Raises ValueError or OSError naming it."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise ValueError(
            f"{path} is not text: byte {error.start} is not UTF-8. Save it as UTF-8."
        ) from None


def _leave(message: str) -> None:
    typer.secho(f"doorround: {message}", fg="red", err=True)
    raise typer.Exit(2)
