"""Errors that a person can act on, shown as one line instead of a stack of code."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import typer


@contextmanager
def plainly() -> Iterator[None]:
    """Show an expected error as one line on stderr and leave with code 2; anything unexpected is raised as it is."""
    from pydantic import ValidationError

    from bot.domain.refused import plain_error
    from bot.hearing.recogniser import EngineUnavailable
    from bot.logbook.errors import LogbookError

    try:
        yield
    except ValidationError as error:
        _leave(plain_error(error))
    except (LogbookError, EngineUnavailable, ValueError, OSError) as error:
        _leave(str(error))


def text_of(path: Path) -> str:
    """The text of a file that people write. Raises ValueError, or OSError, that names it."""
    try:
        return path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as error:
        raise ValueError(f"{path} is no text: byte {error.start} is not UTF-8. Save it as UTF-8.") from None


def _leave(message: str) -> None:
    typer.secho(f"doorround: {message}", fg="red", err=True)
    raise typer.Exit(2)
