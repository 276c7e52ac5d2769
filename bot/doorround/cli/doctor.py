"""doorround doctor: whether this installation works, and what to do if not."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.doctor_result import DoctorResult, ResultState, problem
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson


def doctor(
    offline: Annotated[
        bool, typer.Option("--offline", help="Do not ask Telegram whether the token is valid.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Check everything that doorround needs, and say what to do if something is missing.

    Changes nothing. Exits with 1 if something does not work, or stored data is at risk.
    """
    with cli_errors():
        found = list(examine(os.environ, datetime.now(UTC), online=not offline))
        rows = [_row(each) for each in found]
        problems = sum(each.state is ResultState.PROBLEM for each in found)
        warnings = sum(each.state is ResultState.WARNING for each in found)
        note = f"{len(found)} checked: {problems} to fix, {warnings} to consider."
        show_listing(("state", "what", "as it is", "what to do"), rows, as_json, notes=[note])
        if problems:
            raise typer.Exit(1)


def _row(result: DoctorResult) -> Row:
    data = {
        "check": result.check,
        "state": result.state.value,
        "found": result.found,
        "to_do": result.to_do or None,
    }
    cells = (result.state.value, result.check, result.found, result.to_do)
    return Row(data, cells, urgent=result.state is ResultState.PROBLEM)


def examine(environment: Mapping[str, str], now: datetime, online: bool) -> Iterator[DoctorResult]:
    """Every check in turn. online: whether the messenger's server may be contacted."""
    from doorround.cli import doctor_machine, doctor_parts, doctor_telegram
    from doorround.config.settings import read_settings
    from doorround.config.sources import SettingsError

    yield doctor_machine.program_version()
    yield doctor_machine.python_version()
    yield doctor_machine.clock(now)
    yield from doctor_parts.settings_file(environment)
    try:
        settings = read_settings(environment)
    except SettingsError:
        home = Path(environment.get("DOORROUND_HOME") or Path.home() / ".doorround")
        yield doctor_machine.disk_space(home.expanduser())
        to_do = "Fix the settings, then run it again."
        yield problem("the rest", "cannot be checked with these settings", to_do)
        return
    yield doctor_machine.data_folder(settings.home)
    yield doctor_machine.disk_space(settings.home)
    yield doctor_parts.time_zone(settings)
    yield from doctor_parts.logbook(settings)
    yield doctor_parts.backups(settings, now)
    yield from doctor_parts.hearing(settings)
    yield doctor_parts.reading_aloud(settings)
    yield doctor_parts.pictures()
    yield doctor_machine.microphone()
    yield from doctor_telegram.telegram(environment, online)
