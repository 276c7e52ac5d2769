"""An import as a listing: columns, doors, skipped rows, doubtful cells."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import typer

from doorround.cli.listing import Row
from doorround.door_schedules.import_plan import ImportLine, ImportPlan, RowOutcome
from doorround.door_schedules.schedule import Schedule
from doorround.door_schedules.sheet_doors import LeftRow

TITLES = ("", "door", "cell", "")
MAX_SHOWN = 60
"""Characters of a cell that are shown."""
_IN_ADDED = ("rating", "use", "floor", "place")


def plan_rows(schedule: Schedule, plan: ImportPlan) -> Iterable[Row]:
    """The columns, then doors and rows in file order, then doubts."""
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
        for doubt in () if line.deed in (RowOutcome.REPEAT, RowOutcome.REFUSE) else line.row.doubts:
            data = {
                "what": "doubt",
                "door": line.row.number,
                "sheet": doubt.sheet,
                "cell": doubt.cell,
                "heading": doubt.heading,
                "text": doubt.text,
                "why": doubt.why,
            }
            doubted = f'"{_short(doubt.text)}" under "{doubt.heading}" {doubt.why}'
            place = _place(doubt.sheet, doubt.cell, schedule)
            yield Row(data, ("in doubt", line.row.number, place, doubted), urgent=True)


def _line_row(line: ImportLine, schedule: Schedule) -> Row:
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
    changes = _added(line) if line.deed is RowOutcome.ADD else _changed(line) or line.why
    place = _place(line.row.sheet, line.row.cell, schedule)
    cells = (str(line.deed), line.row.number, place, changes)
    return Row(data, cells, urgent=line.deed is RowOutcome.REFUSE)


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
    why = f'"{_short(left.text)}" {left.why}'
    return Row(data, (what, "", _place(left.sheet, left.cell, schedule), why), left.refused)


def _place(sheet: str, cell: str, schedule: Schedule) -> str:
    several = len(schedule.sheets) + len(schedule.skipped) > 1
    return f"{sheet}!{cell}" if several and sheet else cell


def _added(line: ImportLine) -> str:
    parts = [_plain(line.row.fields.get(name)) for name in _IN_ADDED]
    others = [name.replace("_", " ") for name in line.row.fields if name not in _IN_ADDED]
    last = [f"last check {line.last_check}"] if line.last_check else []
    more = [f"with {', '.join(others)}"] if others else []
    return "; ".join(part for part in [*parts, *last, *more] if part)


def _changed(line: ImportLine) -> str:
    changes = [
        f"{name.replace('_', ' ')}: {_short(_plain(was)) or 'not known'} → {_short(_plain(now))}"
        for name, (was, now) in line.changes.items()
    ]
    changes += [f"last check {line.last_check}"] if line.last_check else []
    changes += ["back in use"] if line.brought_back else []
    return "; ".join(changes)


def _plain(value: Any) -> str:
    return "" if value is None else str(value)


def _short(text: str) -> str:
    return text if len(text) <= MAX_SHOWN else text[: MAX_SHOWN - 1] + "…"


def tell_sums(schedule: Schedule, plan: ImportPlan) -> None:
    """Assumptions made, and totals."""
    typer.echo()
    for sheet in schedule.sheets:
        at = f'Sheet "{sheet.name}": headings' if sheet.name else "Headings"
        typer.echo(f"{at} in row {sheet.headings.row}.")
        for note in sheet.notes:
            typer.echo(note)
    for name in schedule.skipped:
        typer.echo(f'Sheet "{name}" was not read: it has no headings of a door schedule.')
    refused = len(plan.of(RowOutcome.REFUSE)) + sum(each.refused for each in plan.left)
    read = [line for line in plan.lines if line.deed not in (RowOutcome.REPEAT, RowOutcome.REFUSE)]
    doubts = sum(len(line.row.doubts) for line in read)
    sums = [
        f"{len(plan.of(deed))} {deed}"
        for deed in (RowOutcome.ADD, RowOutcome.CHANGE, RowOutcome.SAME)
    ]
    sums.append(f"{refused} refused")
    left = sum(not each.refused for each in plan.left)
    repeated = len(plan.of(RowOutcome.REPEAT))
    sums += [f"{repeated} repeated"] if repeated else []
    sums += [f"{left} left out"] if left else []
    typer.echo(f"Doors: {', '.join(sums)}.")
    if doubts:
        cells = "1 cell is" if doubts == 1 else f"{doubts} cells are"
        typer.echo(f"{cells} in doubt: see above. Anything not understood is kept in the remarks.")
