"""doorround doors: the register of doors."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.old_names import RenamedCommands
from doorround.cli.options import AsJson, AsOneJson, Building, Number, PersonName, Site
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.domain.door import Door

doors_app = typer.Typer(
    help="The door schedule: add, list and show doors.", cls=RenamedCommands, no_args_is_help=True
)
Field = Annotated[
    list[str] | None,
    typer.Option(
        "--set",
        help=(
            'One field, such as "rating=FD30S". Repeatable. Missing fields are asked at the door.'
        ),
    ),
]


@doors_app.command("add")
def add(
    number: Annotated[str, typer.Argument(help="Number on the door.")],
    fields: Field = None,
    person: Annotated[
        str, typer.Option(help="Who adds it; recorded in the logbook.")
    ] = "caretaker",
) -> None:
    """Add a door. Fields: site, building, floor, place, use, rating, leaves, leaf_width_mm,
    leaf_height_mm, leaf_mass_kg, material, glazing, seals, seals_in, hinges, closer, hold_open,
    latch, threshold_seal, sign. Their values: as the register writes them, or as the talk's buttons
    say them, such as use=corridor.
    """
    with cli_errors():
        from doorround.domain.door import Door
        from doorround.domain.plain_text import plain_number
        from doorround.opened_logbook import open_logbook

        settings = read_settings()
        given = {"site": settings.site} if settings.site else {}
        given |= _read(fields)
        door = Door.model_validate({"number": plain_number(number), **given})
        with open_logbook(settings) as logbook:
            logbook.add_door(door, person, datetime.now(UTC))
        typer.echo(f"Door {door.number} added.")


@doors_app.command("change")
def change(
    number: Number,
    why: Annotated[
        str, typer.Option(help='Why, such as "new closer fitted"; recorded in the logbook.')
    ],
    fields: Field = None,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Change a door's register entry. Earlier values stay in the logbook. "unknown" clears a value:
    it is asked again at the next check.
    """
    with cli_errors():
        from doorround.domain.door import Door
        from doorround.domain.plain_text import plain_line
        from doorround.opened_logbook import open_logbook

        given = _read(fields)
        if not given:
            raise ValueError("Say what to change: --set rating=FD30S.")
        if which := [name for name in ("number", "site", "building") if name in given]:
            raise ValueError(
                f"{which[0]}: it says which door this is. Add one with another: doorround doors"
                " add."
            )
        why = plain_line(why, "why")
        if not why:
            raise ValueError("Give the reason for the change: --why.")
        with open_logbook(read_settings()) as logbook:
            before = logbook.door(number, site, building)
            door = Door.model_validate({**before.model_dump(mode="json"), **given})
            changed = logbook.change_door(door, person, datetime.now(UTC), why)
        names = ", ".join(name.replace("_", " ") for name in changed)
        typer.echo(
            f"Door {door.number}: {names} changed."
            if changed
            else f"Door {door.number} was so already."
        )


def _read(fields: list[str] | None) -> dict[str, Any]:
    """Values by field; the talk's understanding is loaded only if needed."""
    from doorround.cli.door_fields import RegisterWords
    from doorround.config.resources import load_checklist
    from doorround.wiring import load_understanding

    return RegisterWords(load_checklist(), load_understanding).read(fields or [])


@doors_app.command("list")
def list_doors(as_json: AsJson = False) -> None:
    """List every door in the register."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.logbook.defects import read_defects
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            doors = logbook.doors()
            out = read_defects(logbook, read_plan().defects).out
        rows = [_row(door, out.get((door.site, door.building, door.number))) for door in doors]
        empty = 'No doors yet. Add one: doorround doors add 12 --set "place=by the lift".'
        show_listing(("door", "rating", "use", "where", "out of action"), rows, as_json, empty)


def _row(door: Door, out: str | None) -> Row:
    rating = door.rating.text if door.rating else "?"
    ended = f"OUT OF ACTION: {out}" if out else ""
    cells = (door.number, rating, door.use or "?", door.where, ended)
    return Row(door.model_dump(mode="json"), cells, urgent=bool(out))


@doors_app.command("show")
def show(
    number: Number,
    site: Site = None,
    building: Building = None,
    as_json: AsOneJson = False,
) -> None:
    """Show one door: its fields, its checks so far, and its faults."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.logbook.defects import read_defects
        from doorround.messages.summaries import CAUTION
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building, retired=True)
            gone = next((each for each in logbook.retired_doors() if each.door == door), None)
            checks = logbook.checks(door)
            defects = read_defects(logbook, read_plan().defects, door=door)
        id = (door.site, door.building, door.number)
        if as_json:
            open_here = [defect.id for defect in defects.at(id)]
            more = {
                "checks": [check.id for check in checks],
                "defects": open_here,
                "out_of_action": defects.out.get(id),
                "retired": gone.why if gone else None,
                "caution": CAUTION,
            }
            typer.echo(json.dumps({**door.model_dump(mode="json"), **more}))
            return
        if gone:
            typer.echo(f"RETIRED on {gone.at:%Y-%m-%d}: {gone.why}")
        if id in defects.out:
            typer.echo(f"OUT OF ACTION: {defects.out[id]}")
        _print_fields(door)
        for check in checks:
            typer.echo(f"check {check.id}: {check.stage}, by {check.person}")
        for defect in defects.at(id):
            typer.echo(f"defect {defect.id}: {defect.severity}, {defect.what}, {defect.state}")
        typer.echo(CAUTION)


def _print_fields(door: Door) -> None:
    for name, value in door.model_dump(mode="json").items():
        shown = value["text"] if isinstance(value, dict) else value
        typer.echo(f"{name.replace('_', ' '):<16} {'not known' if shown is None else shown}")


@doors_app.command("link")
def link(
    number: Number,
    site: Site = None,
    building: Building = None,
) -> None:
    """Print a door's link, for a QR code on it. It contains no number and cannot be guessed."""
    with cli_errors():
        from doorround.config.link_keys import load_keys
        from doorround.domain.links import door_payload, start_link
        from doorround.opened_logbook import open_logbook

        settings = read_settings()
        with open_logbook(settings) as logbook:
            label = logbook.label(logbook.door(number, site, building))
            payload = door_payload(label.called, load_keys(settings.home)[0], label.before)
        typer.echo(start_link(settings.bot_name, payload) if settings.bot_name else payload)
        if not settings.bot_name:
            typer.echo(
                "Only the part after start=: set DOORROUND_BOT_NAME to the bot's user name.",
                err=True,
            )


@doors_app.command("renew-links")
def renew_links(
    end_old: Annotated[
        bool, typer.Option("--end-old", help="Labels printed so far become invalid.")
    ] = False,
) -> None:
    """Create a new key for door links. Labels printed so far stay valid, unless revoked."""
    with cli_errors():
        from doorround.config.link_keys import renew_keys

        keys = renew_keys(read_settings().home, end_old)
        ended = (
            "Older labels are no longer valid: print new ones."
            if end_old
            else "Older labels are still valid."
        )
        typer.echo(f"New door links are made with key {keys[0].id}. {ended}")
