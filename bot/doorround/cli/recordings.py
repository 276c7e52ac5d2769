"""doorround recordings: deleting those whose time is over."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.config.settings import read_settings

recordings_app = typer.Typer(help="The recordings of what was said.", no_args_is_help=True)


@recordings_app.callback()
def recordings() -> None:
    """The recordings of what was said."""


@recordings_app.command("tidy")
def tidy(
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only tell what would be deleted.")
    ] = False,
    days: Annotated[
        int | None,
        typer.Option(
            help="Days to keep them after the check is signed; else DOORROUND_KEEP_RECORDINGS."
        ),
    ] = None,
    person: Annotated[str, typer.Option(help="Who tidies; stands in the logbook.")] = "supervisor",
) -> None:
    """Delete recordings whose checks were all signed long enough ago. Their hashes stay in the
    logbook.

    Nothing is deleted that belongs to a check that is not signed, or to none. Photos stay, unless
    DOORROUND_KEEP_PHOTOS says for how many days.
    """
    with cli_errors():
        from doorround.channels.talk.photo_cleaning import photos_beside
        from doorround.logbook.photos import tidy_photos
        from doorround.logbook.recordings import tidy_recordings
        from doorround.wiring import open_logbook

        settings = read_settings()
        kept_days = settings.keep_recordings_days if days is None else days
        with open_logbook(settings) as logbook:
            now = datetime.now(UTC)
            photo_days = settings.keep_photos_days
            done = tidy_recordings(
                logbook, settings.recordings, kept_days, now, person, dry_run=dry_run
            )
            gone = photo_days and tidy_photos(
                logbook,
                photos_beside(settings.recordings),
                photo_days,
                now,
                person,
                dry_run=dry_run,
            )
        typer.echo(f"{'To delete' if dry_run else 'Deleted'}: {len(done.delete)}.")
        typer.echo(
            f"Kept: {len(done.too_young)} of signed checks, not yet {kept_days} days old; "
            f"{len(done.unsigned)} of no signed check."
        )
        if gone:
            typer.echo(f"Photos {'to delete' if dry_run else 'deleted'}: {len(gone.delete)}.")
