"""Common behaviour of all commands: start, exit codes, terminals and pipes."""

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
"""Exit code after a broken pipe: 128 plus the number of SIGPIPE."""


class CommandGroup(RenamedCommands):
    """The commands as one program: output is sanitised, a closed pipe ends it quietly."""

    def main(self, args: Sequence[str] | None = None, *more: Any, **extra: Any) -> Any:
        """Run a command; see click. Exits with the command's exit code."""
        given = sys.argv[1:] if args is None else list(args)
        with shown_only():
            # file names may contain undecodable bytes
            if signs := [
                sign for word in given if (sign := unseen(word.encode("utf-8", "ignore").decode()))
            ]:
                typer.secho(
                    f"doorround: there is an invisible character ({signs[0]}). Type it again.",
                    err=True,
                )
                raise SystemExit(2)
            try:
                return super().main(given, *more, **extra)
            finally:
                _read_to_the_end()

    def invoke(self, ctx: Any) -> Any:
        """Run one command."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            _read_no_more()
            raise typer.Exit(NOBODY_READS) from None
        except typer.BadParameter as error:
            error.message = _in_plain_words(error)
            raise


def _in_plain_words(error: typer.BadParameter) -> str:
    """Usage errors in the same style as all others: '"x" is not a whole number.'"""
    from pydantic import ValidationError

    from doorround.domain.validation_errors import placed_error

    why = error.__cause__
    return placed_error(why)[1] if isinstance(why, ValidationError) else error.message


def _read_to_the_end() -> None:
    """Flush pending output, though the reader may have gone."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _read_no_more()
        raise SystemExit(NOBODY_READS) from None


def _read_no_more() -> None:
    """Discard pending output: its reader has gone."""
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
    """Disable colour if NO_COLOR is set, whatever its value."""
    if os.environ.get("NO_COLOR"):
        context.color = False
