"""doorround logbook: showing it, and proving that nothing was changed."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path
from typing import Annotated

import typer

from bot.errors import plainly
from bot.settings import read_settings

MOST = 2**63 - 1
"""The largest number that an entry can have."""

logbook_app = typer.Typer(help="The logbook: show it, prove it.", no_args_is_help=True)


@logbook_app.command("show")
def show(
    door: Annotated[str | None, typer.Option(help="Only this door.")] = None,
    check: Annotated[str | None, typer.Option(help="Only this check.")] = None,
    as_json: Annotated[bool, typer.Option("--json", help="One JSON object a line.")] = False,
) -> None:
    """Show the entries: when, who, which door, what, and how it was heard."""
    with plainly():
        from bot.logbook.show import show_json, show_lines
        from bot.wiring import open_logbook

        with open_logbook(read_settings()) as logbook:
            lines = (show_json if as_json else show_lines)(logbook, door=door, check=check)
            for line in lines:
                typer.echo(line)


@logbook_app.command("clip")
def clip(
    entry: Annotated[int, typer.Argument(help="Number of the entry: an answer by voice, or a note.", min=1, max=MOST)],
    to: Annotated[Path | None, typer.Option(help="Folder. When not given, the one you are in.")] = None,
) -> None:
    """Cut what was said for one answer out of its recording, as a voice file of its own."""
    with plainly():
        from bot.channels.playback import write_clip
        from bot.logbook.show import clip_of
        from bot.wiring import open_logbook

        settings = read_settings()
        with open_logbook(settings) as logbook:
            wanted = clip_of(logbook, entry)
        typer.echo(write_clip(wanted, settings.recordings, to or Path()))


@logbook_app.command("verify")
def verify() -> None:
    """Walk the chain of entries and name the first that was changed. Leaves with 1 when one was."""
    with plainly():
        from bot.wiring import open_logbook

        with open_logbook(read_settings()) as logbook:
            faults, head = logbook.verify(), logbook.head()
        for fault in faults:
            typer.secho(str(fault), fg="red", err=True)
        if faults:
            raise typer.Exit(1)
        typer.echo(f"{head.count} entries, unbroken. Note this elsewhere: {head.seq} {head.hash}")


@logbook_app.command("questions")
def ask_about(as_json: Annotated[bool, typer.Option("--json", help="One JSON object a line.")] = False) -> None:
    """What a supervisor might ask about signed checks: too fast, too alike, both faces at once, never a fault.

    Each is a question, no accusation, and states its numbers.
    """
    with plainly():
        from bot.domain.judging.plausible import to_ask
        from bot.logbook.signed import signed_checks
        from bot.wiring import open_logbook

        with open_logbook(read_settings()) as logbook:
            asked = to_ask(signed_checks(logbook))
        for each in asked:
            typer.echo(json.dumps(asdict(each), ensure_ascii=False) if as_json else each.question)
        if not asked and not as_json:
            typer.echo("Nothing stands out.")
