"""doorround logbook: lists entries, and verifies that nothing was changed."""

from __future__ import annotations

import json
import re
import sys
from dataclasses import asdict
from datetime import UTC, datetime, timedelta
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.options import AsJson, day_of
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.config.settings import Settings
    from doorround.logbook.chain import Head
    from doorround.logbook.reader import Reader

LINES_AT_ONCE = 200
"""Batch size for printing: a call per line would cost more than the line."""
_ALONE = (
    " No line is noted beside this file, so only one that you noted elsewhere can show that nothing"
    " was cut off its end."
)
logbook_app = typer.Typer(help="The logbook: show it, verify it.", no_args_is_help=True)


@logbook_app.command("show")
def show(
    door: Annotated[str | None, typer.Option(help="Only this door.")] = None,
    check: Annotated[str | None, typer.Option(help="Only this check.")] = None,
    person: Annotated[str | None, typer.Option(help="Only entries by this person.")] = None,
    first: Annotated[
        str | None, typer.Option("--from", help="From this day, such as 2026-03-02.")
    ] = None,
    last: Annotated[str | None, typer.Option("--until", help="Up to this day.")] = None,
    after: Annotated[int, typer.Option(help="Only entries with a higher number.", min=0)] = 0,
    limit: Annotated[
        int | None, typer.Option(help="Maximum number of entries: a page.", min=1)
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Show the entries: when, who, which door, what, and how it was heard. For pages, use --limit
    50 and --after NUMBER.
    """
    with cli_errors():
        from doorround.logbook.fault_report import chain_faults, tell_faults
        from doorround.logbook.listing import EntryFilter, show_json, show_lines
        from doorround.logbook.local_days import midnight_after
        from doorround.opened_logbook import open_existing

        settings = read_settings()
        zone = settings.zone
        since = midnight_after(day_of(first, zone) - timedelta(days=1), zone) if first else None
        until = midnight_after(day_of(last, zone), zone) if last else None
        wanted = EntryFilter(door, check, person, since, until, after, limit)
        with open_existing(settings) as logbook:
            tell_faults(list(chain_faults(logbook)), sys.stderr)
            lines = iter((show_json if as_json else show_lines)(logbook, wanted))
            while page := list(islice(lines, LINES_AT_ONCE)):
                typer.echo("\n".join(page))


@logbook_app.command("clip")
def clip(
    entry: Annotated[
        int,
        typer.Argument(help="Number of the entry: an answer by voice, or a note.", min=1),
    ],
    to: Annotated[Path | None, typer.Option(help="Folder. Default: the current one.")] = None,
) -> None:
    """Extract the audio of one answer from its recording, as a separate voice file."""
    with cli_errors():
        from doorround.channels.talk.playback import write_clip
        from doorround.logbook.listing import clip_of
        from doorround.opened_logbook import open_existing

        settings = read_settings()
        with open_existing(settings) as logbook:
            wanted = clip_of(logbook, entry)
        typer.echo(write_clip(wanted, settings.recordings, to or Path()))


@logbook_app.command("verify")
def verify(
    noted: Annotated[
        list[str] | None,
        typer.Argument(help="A line noted earlier, a number and a hash, which must still stand."),
    ] = None,
    entries_only: Annotated[
        bool,
        typer.Option(
            "--entries-only",
            help="Skip recordings, photos, evidence and logbook.noted: for a copy without them.",
        ),
    ] = False,
) -> None:
    """Verify the hash chain, the integrity of the file, and recordings and photos against their
    hashes. Writes nothing. Exits with 1 if anything has changed.
    """
    with cli_errors():
        from doorround.logbook.noted_line import is_noted
        from doorround.logbook.opening import reading

        settings = read_settings()
        head = _noted(" ".join(noted)) if noted else None
        with reading(settings.logbook, settings.zone) as logbook:
            faults = _faults(logbook, settings, head, entries_only)
            for fault in faults:
                typer.secho(fault, fg="red", err=True)
            if faults:
                raise typer.Exit(1)
            last = logbook.head()
            alone = not head and not is_noted(logbook.path)
        stands = f" Entry {head.seq} is as it was noted." if head else _ALONE if alone else ""
        count = "1 entry" if last.count == 1 else f"{last.count} entries"
        typer.echo(f"{count}, unbroken.{stands} Note this elsewhere: {last.seq} {last.hash}")


def _faults(
    logbook: Reader, settings: Settings, head: Head | None, entries_only: bool
) -> list[str]:
    """A line for every discrepancy, and one saying what to do."""
    from doorround.logbook.backup import backup_faults
    from doorround.logbook.fault_report import closing_lines, is_damage
    from doorround.logbook.file_checks import Folders, file_faults
    from doorround.logbook.noted_line import note_gone, noted_faults

    entries = logbook.verify()
    damaged = any(map(is_damage, entries))
    noted_lines = [] if damaged else [*noted_faults(logbook, head)]
    if settings.backups and not damaged:
        noted_lines += backup_faults(logbook, settings.backups)
    if not entries_only:
        noted_lines += note_gone(logbook)
    faults = [*entries, *noted_lines]
    if not entries_only and not damaged:
        home = settings.home
        folders = Folders(settings.recordings, home / "photos", home / "evidence")
        faults += file_faults(logbook, folders)
    lines = [str(fault) for fault in faults]
    return [*lines, closing_lines(logbook, entries, noted_lines)] if lines else []


def _noted(line: str) -> Head:
    """Parse a line printed by verify. Raises ValueError."""
    from doorround.logbook.chain import Head

    found = re.search(r"(?<!\d)(\d{1,18})\s+([0-9a-fA-F]{64})\W*", line)
    if found is None:
        raise ValueError(
            f'"{line[:80]}" is not a noted line. Write it as verify printed it: a number and 64'
            " digits."
        )
    return Head(int(found[1]), found[2].lower(), int(found[1]))


@logbook_app.command("clock")
def clock(
    right: Annotated[
        bool, typer.Option("--right", help="Confirm that this computer's clock is right now.")
    ] = False,
    person: Annotated[str, typer.Option(help="Who confirms it: somebody known.")] = "",
) -> None:
    """Report whether the clock is in doubt: behind the last entry, or far ahead.

    Checks signed then do not change due dates.
    """
    with cli_errors():
        from doorround.logbook.clock import doubt_now
        from doorround.logbook.defect_deeds import known_name, only_supervisor
        from doorround.opened_logbook import open_existing

        with open_existing(read_settings()) as logbook:
            doubt = doubt_now(logbook)
            if doubt is None:
                typer.echo("The clock is not in doubt.")
            elif right:
                logbook.trust_clock(
                    known_name(logbook, person or only_supervisor(logbook)), datetime.now(UTC)
                )
                typer.echo("Entered. Checks signed by this clock now count.")
            else:
                typer.echo(
                    f"In doubt since entry {doubt.seq}: {doubt.why}. Last time not in doubt:"
                    f" {doubt.anchor:%Y-%m-%d %H:%M} UTC; the clock then: {doubt.at:%Y-%m-%d %H:%M}"
                    " UTC.\nSet the clock right; or, if it is: doorround logbook clock --right"
                )


@logbook_app.command("questions")
def ask_about(as_json: AsJson = False) -> None:
    """Questions that a supervisor might ask about signed checks: too fast, too alike, rounds faster
    than walking pace, implausible times, recurring faults, and people who never find a fault.

    Each is a question, not an accusation, and gives its figures.
    """
    with cli_errors():
        from doorround.domain.judging.plausibility import plausibility_questions
        from doorround.domain.judging.plausible_rounds import round_questions
        from doorround.logbook.round_history import clock_doubts, followed_faults
        from doorround.logbook.signed_checks import signed_checks
        from doorround.opened_logbook import open_existing

        with open_existing(read_settings()) as logbook:
            checks = signed_checks(logbook)
            rounds = round_questions(checks, followed_faults(logbook), clock_doubts(logbook))
            asked = (*plausibility_questions(checks), *rounds)
        for each in asked:
            typer.echo(json.dumps(asdict(each), ensure_ascii=False) if as_json else each.question)
        if not asked and not as_json:
            typer.echo("Nothing stands out.")
