"""doorround settings: current values, where each comes from, and errors."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson

settings_app = typer.Typer(help="Settings: values, sources, errors.", no_args_is_help=True)
File = Annotated[
    Path | None,
    typer.Option(
        "--settings", help="The settings file. Default: doorround.toml in the data folder."
    ),
]


@settings_app.command("show")
def show(settings_file: File = None, as_json: AsJson = False) -> None:
    """Show every setting: its value, and whether a variable, the file or the default sets it.

    The bot's token and the webhook's secret are not shown.
    """
    with cli_errors():
        from doorround.config.review import effective

        rows = [
            Row(vars(each), (each.name, each.value, each.source))
            for each in effective(environment_with(settings_file))
        ]
        show_listing(("setting", "value", "from"), rows, as_json)


@settings_app.command("check")
def check(settings_file: File = None, as_json: AsJson = False) -> None:
    """Check all settings, words.toml and rules.toml at once, and report errors, a line each.

    Exits with 1 if there are any.
    """
    with cli_errors():
        from doorround.config.review import problems
        from doorround.config.sources import settings_file as file_of

        environment = environment_with(settings_file)
        found = problems(environment)
        if not found:
            found = _problems_of_own_files(environment)
        rows = [Row({"problem": each}, (each,), urgent=True) for each in found]
        path, tables = file_of(environment) if not found else (Path(), {})
        there = (
            f"{path} is in order."
            if tables
            else f"Defaults hold; {path} does not exist or is empty."
        )
        show_listing(("what is wrong",), rows, as_json, there)
        if found:
            raise typer.Exit(1)


def _problems_of_own_files(environment: dict[str, str]) -> list[str]:
    from doorround.config.settings import read_settings
    from doorround.wiring import load_own_rules, load_own_words, load_ruled_checklist

    settings = read_settings(environment)
    found = []
    for read in (load_own_words, load_own_rules, lambda s: load_ruled_checklist(settings=s)):
        try:
            read(settings)
        except ValueError as error:
            if str(error) not in found:
                found.append(str(error))
    return found


def environment_with(settings_file: Path | None) -> dict[str, str]:
    """The environment, with the settings file given on the command line."""
    named = {} if settings_file is None else {"DOORROUND_SETTINGS": str(settings_file)}
    return {**os.environ, **named}
