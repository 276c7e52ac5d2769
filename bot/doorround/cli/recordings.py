"""doorround recordings: deletes expired recordings."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.config.settings import Settings, read_settings

if TYPE_CHECKING:
    from doorround.logbook.recordings import Tidying
    from doorround.logbook.store import Logbook

recordings_app = typer.Typer(help="The recordings of what was said.", no_args_is_help=True)


@recordings_app.callback()
def recordings() -> None:
    """The recordings of what was said."""


@recordings_app.command("tidy")
def tidy(
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only show what would be deleted.")
    ] = False,
    days: Annotated[
        int | None,
        typer.Option(
            help="Days to keep them after the check is signed. Default: DOORROUND_KEEP_RECORDINGS."
        ),
    ] = None,
    person: Annotated[
        str, typer.Option(help="Who deletes them; recorded in the logbook.")
    ] = "supervisor",
) -> None:
    """Delete recordings whose checks were all signed long enough ago. Their hashes stay in the
    logbook.

    Recordings of unsigned checks, or of no check, are never deleted. Photos stay, unless
    DOORROUND_KEEP_PHOTOS gives a number of days.
    """
    with cli_errors():
        from doorround.logbook.recordings import tidy_recordings
        from doorround.opened_logbook import open_logbook

        settings = read_settings()
        kept_days = settings.keep_recordings_days if days is None else days
        with open_logbook(settings) as logbook:
            now = datetime.now(UTC)
            done = tidy_recordings(
                logbook, settings.recordings, kept_days, now, person, dry_run=dry_run
            )
            gone = _tidy_photos(logbook, settings, now, person, dry_run)
        _tell_tidied(done, kept_days, dry_run)
        if gone:
            typer.echo(f"Photos {'to delete' if dry_run else 'deleted'}: {len(gone.delete)}.")


def _tidy_photos(
    logbook: Logbook, settings: Settings, now: datetime, person: str, dry_run: bool
) -> Tidying | None:
    """Expired photos, deleted; None if they are kept indefinitely."""
    from doorround.channels.talk.photo_cleaning import photos_beside
    from doorround.logbook.photos import tidy_photos

    folder, days = photos_beside(settings.recordings), settings.keep_photos_days
    return tidy_photos(logbook, folder, days, now, person, dry_run=dry_run) if days else None


def _tell_tidied(done: Tidying, kept_days: int, dry_run: bool) -> None:
    typer.echo(f"{'To delete' if dry_run else 'Deleted'}: {len(done.delete)}.")
    typer.echo(
        f"Kept: {len(done.too_young)} of signed checks, not yet {kept_days} days old; "
        f"{len(done.unsigned)} without a signed check."
    )
