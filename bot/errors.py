"""Errors that a person can act on, shown as one line instead of a stack of code."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import typer


@contextmanager
def plainly() -> Iterator[None]:
    """Show an expected error as one line on stderr and leave with code 2; anything unexpected is raised as it is."""
    from pydantic import ValidationError

    from bot.hearing.recogniser import EngineUnavailable
    from bot.logbook.errors import LogbookError

    try:
        yield
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(map(str, first["loc"]))
        _leave(f"{place}: {first['msg']}")
    except (LogbookError, EngineUnavailable, ValueError, OSError) as error:
        _leave(str(error))


def _leave(message: str) -> None:
    typer.secho(f"doorround: {message}", fg="red", err=True)
    raise typer.Exit(2)
