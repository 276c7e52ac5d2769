"""doorround init: first-time settings, asked one by one; safe to run again."""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.prompts import agree

if TYPE_CHECKING:
    from doorround.cli.init_answers import InitAnswers
    from doorround.config.toml_edit import Value

SHARED = ("rules", "gauges")
"""Settings that rules.toml may contain, too."""


SiteName = Annotated[str | None, typer.Option("--site", help="Name of the site.")]
Zone = Annotated[str | None, typer.Option("--zone", help="Its time zone, such as Europe/London.")]
RuleSetKey = Annotated[
    str | None,
    typer.Option("--rules", help="Rule set: england-flats, uk-premises or nfpa-80."),
]
Law = Annotated[
    list[str] | None,
    typer.Option("--law", help='Law or guidance that applies, such as "NFPA 80". Repeatable.'),
]
Gauge = Annotated[
    list[str] | None,
    typer.Option("--gauge", help="An available gauge: stopwatch, force gauge, ruler. Repeatable."),
]
Token = Annotated[
    str | None,
    typer.Option("--token", help="The bot's token from BotFather; without it, no bot on Telegram."),
]
Folder = Annotated[
    str | None, typer.Option("--backups", help="Folder for backups, on another disk.")
]
Yes = Annotated[
    bool, typer.Option("--yes", help="Ask nothing: use the options given, otherwise leave as is.")
]


def init(
    site: SiteName = None,
    zone: Zone = None,
    rules: RuleSetKey = None,
    law: Law = None,
    gauge: Gauge = None,
    token: Token = None,
    backups: Folder = None,
    yes: Yes = False,
) -> None:
    """Set doorround up, question by question, and write the settings file.

    Run it again at any time: existing settings become the defaults, and comments stay. Nothing is
    written before you agree. Press Enter to accept a default.
    """
    with cli_errors():
        from doorround.cli.init_answers import answers_in, ask_all, checked

        path, tables = _file_of(os.environ)
        own_rules = _own_rules(path.parent)
        before = answers_in(tables, own_rules)
        options = {"site": site, "zone": zone, "rules": rules, "token": token, "backups": backups}
        named: dict[str, Any] = {
            "law": law and tuple(law),
            "gauges": gauge and tuple(gauge),
            **options,
        }
        given = replace(before, **{k: v for k, v in named.items() if v is not None})
        checked(given)
        try:
            after = given if yes else ask_all(given)
        except KeyboardInterrupt:
            raise ValueError("Stopped. Nothing was written.") from None
        _refuse_changed(own_rules, before, after)
        _write(path, checked(after), yes, [each for each in own_rules if each in SHARED])
        _tell_next(after)


def _file_of(environment: Mapping[str, str]) -> tuple[Path, dict[str, object]]:
    """The settings file and its contents; one given explicitly need not exist yet."""
    from doorround.config.sources import settings_file

    named = environment.get("DOORROUND_SETTINGS")
    if named and not Path(named).expanduser().exists():
        return Path(named).expanduser(), {}
    return settings_file(environment)


def _own_rules(home: Path) -> dict[str, object]:
    from doorround.domain.toml_text import read_toml

    path = home / "rules.toml"
    return read_toml(path.read_text(encoding="utf-8"), path.name) if path.is_file() else {}


def _refuse_changed(
    own_rules: Mapping[str, object], before: InitAnswers, after: InitAnswers
) -> None:
    """rules.toml may contain a setting asked here; it is then changed there. Raises ValueError."""
    for key in SHARED:
        if key in own_rules and getattr(before, key) != getattr(after, key):
            raise ValueError(f"{key}: rules.toml says so already. Change it there.")


def _write(path: Path, after: InitAnswers, yes: bool, elsewhere: Sequence[str]) -> None:
    from doorround.config.toml_edit import with_values

    text = path.read_text(encoding="utf-8") if path.is_file() else ""
    new = with_values(text, after.as_values(elsewhere), path.name)
    if new == text:
        typer.echo(f"\nNothing is changed in {path}.")
        return
    typer.echo()
    show_listing(("setting", "value"), [_row(*each) for each in after.as_values().items()])
    if not yes and not agree(f"\nWrite this to {path}?"):
        raise ValueError("Nothing was written.")
    _replace(path, new)
    typer.echo(f"Written: {path}, readable by this account only.")


def _replace(path: Path, text: str) -> None:
    """Write the whole file atomically, for this account only, once every setting in it has been
    validated.
    """
    from doorround.config.data_folder import private_home
    from doorround.config.review import problems

    private_home(path.parent)
    part = path.with_name(f"{path.name}.new")
    with os.fdopen(os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    wrong = problems({**os.environ, "DOORROUND_SETTINGS": str(part)})
    if wrong:
        part.unlink()
        why_not = "; ".join(each.replace(str(part), str(path)) for each in wrong)
        raise ValueError(f"Nothing was written, since this is wrong: {why_not}")
    part.replace(path)


def _row(place: tuple[str, ...], value: Value | None) -> Row:
    name = ".".join(place)
    shown = ", ".join(value) if isinstance(value, tuple) else str(value or "none")
    return Row({}, (name, "set" if value and name == "telegram.token" else shown))


def _tell_next(answers: InitAnswers) -> None:
    from doorround.config.sources import KEYS, PREFIX

    for (*_, key), _value in answers.as_values().items():
        name = f"{PREFIX}{key.upper()}"
        if name.removeprefix(PREFIX) in KEYS and os.environ.get(name):
            typer.echo(f"{name} is set, too, and wins over the file.")
    typer.echo("\nNext, the doors. From a spreadsheet, or one by one:")
    typer.echo('  doorround doors import "Fire doors.xlsx"')
    typer.echo("  doorround doors add 12 --set rating=FD30S")
    if answers.token:
        typer.echo("Then invite yourself, and start the bot:")
        typer.echo("  doorround people invite --role supervisor\n  doorround serve")
    else:
        typer.echo("Then check one:\n  doorround chat --door 12")
    typer.echo("To check the installation: doorround doctor")
