"""doorround doors import, undo-import: a door schedule into the register."""

from __future__ import annotations

import hashlib
import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated
from zoneinfo import ZoneInfo

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.door_changes import doors_app
from doorround.cli.listing import show_listing
from doorround.cli.options import AsJson, PersonName
from doorround.config.settings import Settings, read_settings

if TYPE_CHECKING:
    from doorround.door_schedules.import_plan import ImportPlan
    from doorround.door_schedules.schedule import Schedule
    from doorround.door_schedules.sheet_doors import Options

__all__ = ["doors_app"]


File = Annotated[Path, typer.Argument(help="Door schedule: .xlsx (COBie too), .csv or .ifc.")]
Yes = Annotated[bool, typer.Option("--yes", help="Enter it. Without this, only show a preview.")]
SheetName = Annotated[str | None, typer.Option(help="The one sheet to read, by name.")]
Columns = Annotated[
    list[str] | None,
    typer.Option(
        help='What a column contains, by heading or letter: "Leaf ref=number", "C=rating".'
        " Repeatable; headings are remembered. =remarks keeps it as a remark."
    ),
]
SiteOf = Annotated[
    str,
    typer.Option(
        help="Site of the doors, if the file names none. If not given, new doors get the site"
        " of the settings."
    ),
]
BuildingOf = Annotated[str, typer.Option(help="Building of the doors, if the file names none.")]
MonthFirst = Annotated[
    bool | None,
    typer.Option("--month-first/--day-first", help="Date format: 5/11 or 11/5."),
]
Unrated = Annotated[
    bool,
    typer.Option("--unrated", help="Also doors that are not fire doors according to the file."),
]


@doors_app.command("import")
def import_doors(
    file: File,
    yes: Yes = False,
    sheet: SheetName = None,
    column: Columns = None,
    site: SiteOf = "",
    building: BuildingOf = "",
    month_first: MonthFirst = None,
    unrated: Unrated = False,
    as_json: AsJson = False,
    person: PersonName = "supervisor",
) -> None:
    """Import a door schedule into the register, or update from it. Shows a preview line by line;
    --yes enters it, all or nothing. undo-import reverses it.
    """
    with cli_errors():
        from doorround.door_schedules.remembered_headings import remembered_headings
        from doorround.door_schedules.schedule import read_schedule

        settings = read_settings()
        now = datetime.now(UTC)
        columns = dict(map(_column, column or []))
        options = _options(settings, now, site, building, month_first, unrated)
        known = remembered_headings(settings.home)
        schedule = read_schedule(file, options, columns, known, sheet)
        entered = _import(settings, schedule, file, yes, as_json, person, now)
        if entered:
            _remember(settings, columns)


def _import(
    settings: Settings,
    schedule: Schedule,
    file: Path,
    yes: bool,
    as_json: bool,
    person: str,
    now: datetime,
) -> bool:
    """Preview a schedule, and enter it if requested; returns whether it was."""
    from doorround.cli.import_listing import TITLES, plan_rows, tell_sums
    from doorround.door_schedules.entering import enter_plan, read_register
    from doorround.door_schedules.import_plan import plan_import
    from doorround.opened_logbook import open_logbook

    with open_logbook(settings) as logbook:
        register = read_register(logbook)
        plan = plan_import(schedule.doors, schedule.left, register, settings.site)
        show_listing(TITLES, plan_rows(schedule, plan), as_json)
        if not as_json:
            tell_sums(schedule, plan)
        if not plan.enters:
            return False
        if not (yes or (not as_json and _agreed())):
            if not as_json:
                typer.echo("Nothing was entered. To enter it, give the same command with --yes.")
            return False
        sha256 = hashlib.sha256(file.read_bytes()).hexdigest()
        enter_plan(logbook, plan, file.name, sha256, person, now)
    _tell_entered(plan, as_json)
    return True


def _remember(settings: Settings, columns: dict[str, str]) -> None:
    from doorround.door_schedules.remembered_headings import remember_headings

    remember_headings(settings.home, columns)


@doors_app.command("undo-import")
def undo_last_import(person: PersonName = "supervisor") -> None:
    """Undo the last import: doors it added are retired, fields it changed are restored. Anything
    checked or changed since stays.
    """
    with cli_errors():
        from doorround.door_schedules.entering import undo_import
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            undone = undo_import(logbook, person, datetime.now(UTC))
        count = f"{undone.doors} door{'' if undone.doors == 1 else 's'}"
        typer.echo(f"The import of {undone.file} is undone: {count} as before.")
        for number, why in undone.kept:
            typer.echo(f"Door {number} stays as it is: {why}.")


def _options(
    settings: Settings,
    now: datetime,
    site: str,
    building: str,
    month_first: bool | None,
    unrated: bool,
) -> Options:
    from doorround.cli.door_fields import RegisterWords
    from doorround.config.resources import load_checklist
    from doorround.domain.plain_text import plain_line
    from doorround.door_schedules.sheet_doors import Options
    from doorround.wiring import load_understanding

    words = RegisterWords(load_checklist(), load_understanding)
    return Options(
        today=now.astimezone(ZoneInfo(settings.zone)).date(),
        site=plain_line(site, "site"),
        building=plain_line(building, "building"),
        month_first=month_first,
        said=words.meant,
        unrated=unrated,
    )


def _column(text: str) -> tuple[str, str]:
    name, equals, field = text.rpartition("=")
    if not equals or not name.strip() or not field.strip():
        raise ValueError(f'"{text}": write a column as HEADING=FIELD, such as "Leaf ref=number".')
    return name.strip(), field.strip()


def _agreed() -> bool:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    return typer.confirm("Enter this?")


def _tell_entered(plan: ImportPlan, as_json: bool) -> None:
    from doorround.door_schedules.import_plan import RowOutcome

    if as_json:
        return
    added, changed = len(plan.of(RowOutcome.ADD)), len(plan.of(RowOutcome.CHANGE))
    typer.echo(
        f"Entered: {added} added, {changed} changed. To undo it: doorround doors undo-import."
        " What is due now: doorround due."
    )
