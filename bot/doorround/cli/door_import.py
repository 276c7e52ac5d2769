"""doorround doors import, undo-import: a door schedule into the register."""

from __future__ import annotations

import hashlib
import sys
from collections.abc import Iterable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any
from zoneinfo import ZoneInfo

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.door_changes import doors_app
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, By
from doorround.config.settings import Settings, read_settings

if TYPE_CHECKING:
    from doorround.register.plan import Line, Plan
    from doorround.register.rows import LeftRow, Options
    from doorround.register.schedule import Schedule

__all__ = ["doors_app"]
MAX_SHOWN = 60
"""Letters of a cell that are shown."""
_IN_ADDED = ("rating", "use", "floor", "place")


@doors_app.command("import")
def import_doors(
    file: Annotated[Path, typer.Argument(help="Door schedule: .xlsx (COBie too), .csv or .ifc.")],
    yes: Annotated[
        bool, typer.Option("--yes", help="Enter it. Without: only what it would do.")
    ] = False,
    sheet: Annotated[str | None, typer.Option(help="The one sheet to read, by name.")] = None,
    column: Annotated[
        list[str] | None,
        typer.Option(
            help='What a column holds, by heading or letter: "Leaf ref=number", "C=rating". May be'
            " given again; headings are remembered. =remarks keeps it as a remark."
        ),
    ] = None,
    site: Annotated[str, typer.Option(help="Site of the doors, where the file names none.")] = "",
    building: Annotated[
        str, typer.Option(help="Building of the doors, where the file names none.")
    ] = "",
    month_first: Annotated[
        bool | None,
        typer.Option("--month-first/--day-first", help="How days are written: 5/11 or 11/5."),
    ] = None,
    unrated: Annotated[
        bool, typer.Option("--unrated", help="Also doors that are no fire doors by the file.")
    ] = False,
    as_json: AsJson = False,
    person: By = "supervisor",
) -> None:
    """Bring a door schedule into the register, or up to date. First it tells, line by line, what
    it would do; --yes enters it, all or nothing. undo-import takes it back.
    """
    with cli_errors():
        from doorround.register.entering import enter_plan, read_register
        from doorround.register.plan import plan_import
        from doorround.register.remembered import remember_headings, remembered_headings
        from doorround.register.schedule import read_schedule
        from doorround.wiring import open_logbook

        settings = read_settings()
        now = datetime.now(UTC)
        columns = dict(map(_column, column or []))
        options = _options(settings, now, site, building, month_first, unrated)
        schedule = read_schedule(file, options, columns, remembered_headings(settings.home), sheet)
        with open_logbook(settings) as logbook:
            plan = plan_import(schedule.doors, schedule.left, read_register(logbook))
            show_listing(("", "door", "cell", ""), _rows(schedule, plan), as_json)
            if not as_json:
                _tell(schedule, plan)
            if plan.enters and (yes or (not as_json and _agreed())):
                sha256 = hashlib.sha256(file.read_bytes()).hexdigest()
                enter_plan(logbook, plan, file.name, sha256, person, now)
                remember_headings(settings.home, columns)
                _told_entered(plan, as_json)
            elif plan.enters and not as_json:
                typer.echo("Nothing was entered. To enter it, give the same command with --yes.")


@doors_app.command("undo-import")
def undo_last_import(person: By = "supervisor") -> None:
    """Take back the last import: doors it added are retired, what it changed is as before. What
    was checked or changed since stays.
    """
    with cli_errors():
        from doorround.register.entering import undo_import
        from doorround.wiring import open_logbook

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
    from doorround.register.rows import Options
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


def _rows(schedule: Schedule, plan: Plan) -> Iterable[Row]:
    """The columns, then the doors and rows in the order of the file, then what is in doubt."""
    for sheet in schedule.sheets:
        for each in sheet.headings.columns:
            like = f' "{each.like}"' if each.like else ""
            held = f"{each.field}: {each.how}{like}"
            data = {
                "what": "column",
                "sheet": sheet.name,
                "column": each.letters,
                "heading": each.heading,
                "field": each.field,
                "how": str(each.how),
            }
            place = _place(sheet.name, each.letters, schedule)
            yield Row(data, ("column", "", place, f'"{each.heading}" → {held}'))
    for line in plan.lines:
        yield _line_row(line, schedule)
    for left in plan.left:
        yield _left_row(left, schedule)
    for line in plan.lines:
        for doubt in line.row.doubts:
            data = {
                "what": "doubt",
                "door": line.row.number,
                "sheet": doubt.sheet,
                "cell": doubt.cell,
                "heading": doubt.heading,
                "text": doubt.text,
                "why": doubt.why,
            }
            told = f'"{_short(doubt.text)}" under "{doubt.heading}" {doubt.why}'
            place = _place(doubt.sheet, doubt.cell, schedule)
            yield Row(data, ("in doubt", line.row.number, place, told), urgent=True)


def _line_row(line: Line, schedule: Schedule) -> Row:
    from doorround.register.plan import Deed

    data: dict[str, Any] = {
        "what": str(line.deed),
        "door": line.row.number,
        "sheet": line.row.sheet,
        "row": line.row.row,
        "cell": line.row.cell,
        "why": line.why,
        "last_check": line.last_check.isoformat() if line.last_check else None,
    }
    data["fields"] = line.row.fields
    data["changes"] = {name: [_plain(v) for v in both] for name, both in line.changes.items()}
    told = _added(line) if line.deed is Deed.ADD else _changed(line) or line.why
    place = _place(line.row.sheet, line.row.cell, schedule)
    cells = (str(line.deed), line.row.number, place, told)
    return Row(data, cells, urgent=line.deed is Deed.REFUSE)


def _left_row(left: LeftRow, schedule: Schedule) -> Row:
    what = "refused" if left.refused else "left out"
    data = {
        "what": what,
        "sheet": left.sheet,
        "row": left.row,
        "cell": left.cell,
        "text": left.text,
        "why": left.why,
    }
    told = f'"{_short(left.text)}" {left.why}'
    return Row(data, (what, "", _place(left.sheet, left.cell, schedule), told), left.refused)


def _place(sheet: str, cell: str, schedule: Schedule) -> str:
    several = len(schedule.sheets) + len(schedule.skipped) > 1
    return f"{sheet}!{cell}" if several and sheet else cell


def _added(line: Line) -> str:
    parts = [_plain(line.row.fields.get(name)) for name in _IN_ADDED]
    others = [name.replace("_", " ") for name in line.row.fields if name not in _IN_ADDED]
    last = [f"last check {line.last_check}"] if line.last_check else []
    more = [f"with {', '.join(others)}"] if others else []
    return "; ".join(part for part in [*parts, *last, *more] if part)


def _changed(line: Line) -> str:
    told = [
        f"{name.replace('_', ' ')}: {_short(_plain(was)) or 'not known'} → {_short(_plain(now))}"
        for name, (was, now) in line.changes.items()
    ]
    told += [f"last check {line.last_check}"] if line.last_check else []
    told += ["back in use"] if line.brought_back else []
    return "; ".join(told)


def _plain(value: Any) -> str:
    return "" if value is None else str(value)


def _short(text: str) -> str:
    return text if len(text) <= MAX_SHOWN else text[: MAX_SHOWN - 1] + "…"


def _tell(schedule: Schedule, plan: Plan) -> None:
    """What was taken for granted, and the sums."""
    from doorround.register.plan import Deed

    typer.echo()
    for sheet in schedule.sheets:
        at = f'Sheet "{sheet.name}": headings' if sheet.name else "Headings"
        typer.echo(f"{at} in row {sheet.headings.row}.")
        for note in sheet.notes:
            typer.echo(note)
    for name in schedule.skipped:
        typer.echo(f'Sheet "{name}" was not read: it has no headings of a door schedule.')
    refused = len(plan.of(Deed.REFUSE)) + sum(each.refused for each in plan.left)
    doubts = sum(len(line.row.doubts) for line in plan.lines)
    sums = [f"{len(plan.of(deed))} {deed}" for deed in (Deed.ADD, Deed.CHANGE, Deed.SAME)]
    sums.append(f"{refused} refused")
    left = sum(not each.refused for each in plan.left)
    sums += [f"{left} left out"] if left else []
    typer.echo(f"Doors: {', '.join(sums)}.")
    if doubts:
        cells = "1 cell is" if doubts == 1 else f"{doubts} cells are"
        typer.echo(f"{cells} in doubt: see above. What was not understood stands in the remarks.")


def _agreed() -> bool:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        return False
    return typer.confirm("Enter this?")


def _told_entered(plan: Plan, as_json: bool) -> None:
    from doorround.register.plan import Deed

    if as_json:
        return
    added, changed = len(plan.of(Deed.ADD)), len(plan.of(Deed.CHANGE))
    typer.echo(
        f"Entered: {added} added, {changed} changed. To take it back: doorround doors undo-import."
        " What is due now: doorround due."
    )
