"""doorround backup: a copy of the data folder on another disk."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.config.settings import read_settings


def backup(
    folder: Annotated[
        Path | None,
        typer.Argument(help="Target folder, on another disk. Default: the setting backups."),
    ] = None,
) -> None:
    """Copy the logbook, recordings, photos, settings and keys into a folder, while the bot is
    running.

    The copy counts once verified. It contains the bot's token and people's voices: keep it as safe
    as the data folder. Files deleted by the retention settings are deleted from the backup, too.
    """
    with cli_errors():
        from doorround.logbook.backup import back_up

        settings = read_settings()
        target = folder or settings.backups
        if target is None:
            raise ValueError(
                "Give a target folder: doorround backup FOLDER, or set backups in the settings."
            )
        place, head = back_up(settings.home, target, datetime.now(UTC))
        typer.echo(f"Copied and verified: {place}, {head.count} entries.")
        typer.echo(f"Note this elsewhere: {head.seq} {head.hash}")
