"""Options that several commands share."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Annotated
from zoneinfo import ZoneInfo

import typer

from doorround.domain.schedule.day_input import read_day

On = Annotated[
    str | None, typer.Option("--on", help="The day, such as 2026-03-02. When not given: today.")
]


AsJson = Annotated[bool, typer.Option("--json", help="One JSON object a line.")]


def day_of(text: str | None, zone: str) -> date:
    """The day that was asked for, else today on the site.

    Raises ValueError that says what to write.
    """
    if text is None:
        return datetime.now(UTC).astimezone(ZoneInfo(zone)).date()
    return read_day(text)
