"""Options that several commands share: one name, one meaning and one help text everywhere."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from doorround.domain.schedule.day_input import read_day

On = Annotated[
    str | None, typer.Option("--on", help="The day, such as 2026-03-02. Default: today.")
]
AsJson = Annotated[bool, typer.Option("--json", help="One JSON object per line, for programs.")]
AsOneJson = Annotated[bool, typer.Option("--json", help="As one JSON object, for programs.")]
PersonName = Annotated[str, typer.Option("--person", help="Who does it; recorded in the logbook.")]
KnownPersonName = Annotated[
    str | None,
    typer.Option(
        "--person",
        help='Who does it: somebody known, or an outsider as "firm: name". '
        "Default: the only supervisor.",
    ),
]
Site = Annotated[str | None, typer.Option(help="Its site, if several doors have that number.")]
Building = Annotated[
    str | None, typer.Option(help="Its building, if several doors have that number.")
]
ChecklistName = Annotated[
    str, typer.Option("--checklist", help="Checklist: its key, or the path of a TOML file.")
]
Engine = Annotated[
    str | None,
    typer.Option("--engine", help="auto, listeners, pair, listener, vosk or pocketsphinx."),
]
Number = Annotated[str, typer.Argument(help="Number of the door.")]


def day_of(text: str | None, zone: str) -> date:
    """The day asked for, or else today on the site. Raises ValueError saying what to write."""
    if text is None:
        return datetime.now(UTC).astimezone(ZoneInfo(zone)).date()
    return read_day(text)
