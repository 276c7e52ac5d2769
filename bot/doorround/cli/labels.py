"""doorround doors labels: printable QR labels, and plates for engraving."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.door_import import doors_app
from doorround.cli.options import Building, Site
from doorround.config.settings import Settings, read_settings

if TYPE_CHECKING:
    from doorround.domain.door import Door
    from doorround.logbook.store import Logbook
    from doorround.reports.labels import DoorLabel

__all__ = ["doors_app"]
PLATE = "plate"
NO_BOT = (
    "The codes contain only the part after start=: set DOORROUND_BOT_NAME to the bot's user name."
)


Numbers = Annotated[list[str] | None, typer.Argument(help="Numbers of doors. Default: every door.")]
Size = Annotated[
    str,
    typer.Option(
        help="Labels on a sheet: a4-65, a4-24, a4-21, a4-14, a4-8, a4-1, letter-30, letter-10; or"
        " plate: an SVG for each door, to engrave."
    ),
]
Out = Annotated[Path | None, typer.Option(help="Output: a PDF, or for plates a folder.")]
Skip = Annotated[int, typer.Option(min=0, help="Labels already used on the first sheet.")]


@doors_app.command("labels")
def labels(
    numbers: Numbers = None,
    size: Size = "a4-21",
    out: Out = None,
    skip: Skip = 0,
    site: Site = None,
    building: Building = None,
) -> None:
    """Make labels for doors: a QR code that opens the door in the bot, the number in large type,
    its location and the site. Print at 100 %, not "fit to page".
    """
    with cli_errors():
        from doorround.opened_logbook import open_logbook
        from doorround.reports.labels import SIZES, label_sheets

        if size not in SIZES and size != PLATE:
            raise ValueError(f"--size {size}: use one of {', '.join(SIZES)}, {PLATE}.")
        _refuse_skip(skip, size, 1 if size == PLATE else SIZES[size].count)
        settings = read_settings()
        with open_logbook(settings) as logbook:
            made = _labels(logbook, settings, numbers or [], site, building)
        if not made:
            raise ValueError("There are no doors to make labels for. Add one: doorround doors add.")
        if not settings.bot_name:
            typer.echo(NO_BOT, err=True)
        if size == PLATE:
            _write_plates(made, out or Path("plates"))
            return
        path = out or Path("labels.pdf")
        path.write_bytes(label_sheets(made, SIZES[size], skip))
        pages = -(-(skip + len(made)) // SIZES[size].count)
        sheets = f"{pages} sheet{'' if pages == 1 else 's'}"
        typer.echo(f"{path}: {len(made)} labels on {sheets}. Print at 100 %.")


def _refuse_skip(skip: int, size: str, count: int) -> None:
    """Check that the sheet has a label left. Raises ValueError."""
    if skip < count:
        return
    if count == 1:
        raise ValueError(f"--skip {skip}: {size} has one label per sheet. Leave --skip out.")
    raise ValueError(f"--skip {skip}: a sheet of {size} has {count} labels. Use 0 to {count - 1}.")


def _labels(
    logbook: Logbook,
    settings: Settings,
    numbers: list[str],
    site: str | None,
    building: str | None,
) -> list[DoorLabel]:
    from doorround.config.link_keys import load_keys
    from doorround.domain.links import door_payload, start_link
    from doorround.reports.labels import DoorLabel

    doors = _doors(logbook, numbers, site, building)
    key = load_keys(settings.home)[0]
    current = {
        (each.called.site, each.called.building, each.called.number): each
        for each in logbook.labels()
        if each.called == each.door
    }
    found = []
    for door in doors:
        made_for = current[door.site, door.building, door.number]
        payload = door_payload(made_for.called, key, made_for.before)
        link = start_link(settings.bot_name, payload) if settings.bot_name else payload
        found.append(DoorLabel(door.number, door.where, door.site, link))
    return found


def _doors(
    logbook: Logbook, numbers: list[str], site: str | None, building: str | None
) -> list[Door]:
    if numbers:
        return [logbook.door(number, site, building) for number in numbers]
    return [
        door
        for door in logbook.doors()
        if (site is None or door.site == site) and (building is None or door.building == building)
    ]


def _write_plates(made: list[DoorLabel], folder: Path) -> None:
    """One SVG per door, named after its number; characters invalid in file names become "_"."""
    from doorround.reports.labels import plate_svg

    folder.mkdir(parents=True, exist_ok=True)
    names: set[str] = set()
    for label in made:
        name = "".join(each if each.isalnum() or each in "-." else "_" for each in label.number)
        while name.casefold() in names:
            name += "_"
        names.add(name.casefold())
        (folder / f"{name}.svg").write_text(plate_svg(label), encoding="utf-8")
    typer.echo(f"{folder}: {len(made)} plates as SVG, 100 × 50 mm.")
