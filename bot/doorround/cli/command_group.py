"""What all commands share: how they begin and end, on any terminal and in any pipe."""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

import typer

from doorround.cli.old_names import RenamedCommands
from doorround.cli.safe_output import shown_only
from doorround.domain.plain_text import unseen

NOBODY_READS = 141
"""As a program ends whose reader went away: 128 and the number of SIGPIPE."""


class CommandGroup(RenamedCommands):
    """The commands as one program: nothing is printed raw, a reader that goes away ends it
    quietly.
    """

    def main(self, args: Sequence[str] | None = None, *more: Any, **extra: Any) -> Any:
        """Run a command; see click. Exits with the exit code of the command."""
        given = sys.argv[1:] if args is None else list(args)
        with shown_only():
            # undecodable bytes may stand in the name of a file
            if signs := [
                sign for word in given if (sign := unseen(word.encode("utf-8", "ignore").decode()))
            ]:
                typer.secho(
                    f"doorround: there is a sign that cannot be seen ({signs[0]}). Type it again.",
                    err=True,
                )
                raise SystemExit(2)
            try:
                return super().main(given, *more, **extra)
            finally:
                _read_to_the_end()

    def invoke(self, ctx: Any) -> Any:
        """Carry out one command."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            _read_no_more()
            raise typer.Exit(NOBODY_READS) from None
        except typer.BadParameter as error:
            error.message = _in_plain_words(error)
            raise


def _in_plain_words(error: typer.BadParameter) -> str:
    """What is wrong with what was given, as everywhere else: '"x" is no whole number.'"""
    from pydantic import ValidationError

    from doorround.domain.validation_errors import placed_error

    why = error.__cause__
    return placed_error(why)[1] if isinstance(why, ValidationError) else error.message


def _read_to_the_end() -> None:
    """Hand on what waits to be written, while somebody may have stopped reading."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _read_no_more()
        raise SystemExit(NOBODY_READS) from None


def _read_no_more() -> None:
    """Give what is still to be written to nobody: its reader went away."""
    with suppress(OSError, ValueError):
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


def tell_version(wanted: bool) -> None:
    """--version."""
    if wanted:
        from importlib.metadata import PackageNotFoundError, version

        try:
            typer.echo(f"doorround {version('doorround')}")
        except PackageNotFoundError:
            typer.echo("doorround, not installed")
        raise typer.Exit


def colour(context: typer.Context) -> None:
    """No colour where NO_COLOR says so, whatever its value."""
    if os.environ.get("NO_COLOR"):
        context.color = False
