"""doorround sample-estate: an invented estate with a history, for trying things out."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.config.settings import read_settings


def sample_estate(
    into: Annotated[Path, typer.Option(help="A separate data folder, new or empty.")],
    doors: Annotated[int, typer.Option(min=1, max=2000, help="How many doors.")] = 40,
    years: Annotated[float, typer.Option(min=0.05, max=10, help="Length of the history.")] = 1.0,
    seed: Annotated[int, typer.Option(help="The same seed gives the same estate.")] = 1,
    until: Annotated[
        str | None,
        typer.Option(help="Its last day, such as 2026-03-02. Default: yesterday."),
    ] = None,
) -> None:
    """Make an invented estate with a plausible history, for trying due, summary, defects and
    intervals on the first day. It is marked as sample data wherever a door is named.
    """
    with cli_errors():
        from doorround.config.resources import load_checklist
        from doorround.config.sample_data import mark_sample
        from doorround.domain.schedule.day_input import read_day
        from doorround.logbook.store import Logbook
        from doorround.sample.history import live_through

        zone = read_settings().zone
        today = datetime.now(UTC).astimezone(ZoneInfo(zone)).date()
        last = read_day(until) if until else today - timedelta(days=1)
        if last >= today:
            raise ValueError(f"--until {last}: that day is not over yet. Give an earlier one.")
        first = last - timedelta(days=round(years * 365.25))
        mark_sample(into)
        with Logbook.open(into / "logbook.db", zone) as logbook:
            live_through(
                logbook, load_checklist(), doors, first, last, seed, _progress(first, last)
            )
            entries = logbook.head().count
        typer.echo(f"{doors} invented doors, {first} to {last}: {entries} entries in {into}.")
        typer.echo(f"Look at it: DOORROUND_HOME={into} doorround due (and summary, defects list).")


def _progress(first: date, last: date) -> Callable[[date], None]:
    """Progress display on a terminal."""

    def show(day: date) -> None:
        if sys.stderr.isatty() and day.day == 1:
            share = (day - first).days / max(1, (last - first).days)
            typer.echo(f"\r{share:.0%} …", err=True, nl=False)

    return show
