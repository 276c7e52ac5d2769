"""doorround doors move, renumber, retire, bring-back, out-of-service, in-service, no-access,
checked-before: changes to a door.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.doors import doors_app
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, Building, Number, PersonName, Site
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.logbook.records import RetiredDoor

__all__ = ["doors_app"]
Why = Annotated[str, typer.Option(help="Why; recorded in the logbook.")]


@doors_app.command("move")
def move(
    number: Number,
    why: Why,
    place: Annotated[str | None, typer.Option(help="Where it is now.")] = None,
    floor: Annotated[str | None, typer.Option(help="The floor it is on now.")] = None,
    to_building: Annotated[str | None, typer.Option(help="The building it is in now.")] = None,
    to_site: Annotated[str | None, typer.Option(help="The site it is on now.")] = None,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Move a door, or rename its location. Its checks and defects go with it."""
    with cli_errors():
        from doorround.logbook.door_changes import move_door
        from doorround.opened_logbook import open_logbook

        named = {"place": place, "floor": floor, "building": to_building, "site": to_site}
        places = {name: value for name, value in named.items() if value is not None}
        if not places:
            raise ValueError("Say where it is now: --place, --floor, --to-building or --to-site.")
        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building)
            moved = move_door(logbook, door, places, why, person, datetime.now(UTC))
        was = moved == door
        where = f"{moved.where or moved.site or 'no place given'}"
        typer.echo(f"Door {moved.number} {'was there already' if was else 'is now'}: {where}.")


@doors_app.command("renumber")
def renumber(
    number: Number,
    new: Annotated[str, typer.Argument(help="Its new number.")],
    why: Why,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Give a door another number. Its history goes with it, and the old number still finds it."""
    with cli_errors():
        from doorround.logbook.door_changes import renumber_door
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building)
            now = renumber_door(logbook, door, new, why, person, datetime.now(UTC))
        typer.echo(
            f"Door {door.number} is now door {now.number}. Labels of door {door.number} still open"
            " it; print a new one so that its number is right."
        )


@doors_app.command("retire")
def retire(
    number: Number,
    why: Why,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Take a door out of use for good: it is no longer due. All its entries remain."""
    with cli_errors():
        from doorround.logbook.door_changes import retire_door
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building)
            retire_door(logbook, door, why, person, datetime.now(UTC))
        typer.echo(
            f"Door {door.number} is retired: {why.strip()}. If it comes back into use:"
            f" doorround doors bring-back {door.number} --why …"
        )


@doors_app.command("bring-back")
def bring_back(
    number: Number,
    why: Why,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Bring a retired door back into use, with its history; it is due as if it had never been
    retired.
    """
    with cli_errors():
        from doorround.logbook.door_changes import bring_back_door
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building, retired=True)
            bring_back_door(logbook, door, why, person, datetime.now(UTC))
        typer.echo(f"Door {door.number} is back in use: {why.strip()}.")


@doors_app.command("retired")
def retired(as_json: AsJson = False) -> None:
    """List retired doors, since when and why."""
    with cli_errors():
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            found = logbook.retired_doors()
        rows = [_retired_row(each) for each in found]
        show_listing(("door", "where", "since", "why"), rows, as_json, "No doors are retired.")


def _retired_row(retired: RetiredDoor) -> Row:
    door = retired.door
    retirement = {"retired": retired.at.isoformat(), "retired_why": retired.why}
    data = {**door.model_dump(mode="json"), **retirement}
    return Row(data, (door.number, door.where, f"retired {retired.at:%Y-%m-%d}", retired.why))


@doors_app.command("out-of-service")
def out_of_service(
    number: Number,
    why: Annotated[
        str, typer.Option(help='Why it does not count as a fire door, such as "leaf taken off".')
    ],
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Take a door out of service: every list shows this until somebody puts it back."""
    with cli_errors():
        from doorround.logbook.defect_deeds import put_out
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            put_out(logbook, logbook.door(number, site, building), why, person, datetime.now(UTC))
        typer.echo(f"Door {number} is out of action: {why}.")


@doors_app.command("in-service")
def in_service(
    number: Number,
    why: Annotated[
        str, typer.Option(help='Why it counts again, such as "hung again, closes and latches".')
    ],
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Put a door back in service. Refused while a defect that takes it out of action is open."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.logbook.defect_deeds import call_fit
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building)
            call_fit(logbook, door, why, person, datetime.now(UTC), read_plan().defects)
        typer.echo(f"Door {number} is fit again: {why}.")


@doors_app.command("no-access")
def no_access(
    number: Number,
    why: Annotated[
        str, typer.Option(help='Why there was no access, such as "nobody in".')
    ] = "no access",
    site: Site = None,
    building: Building = None,
    person: PersonName = "caretaker",
) -> None:
    """Enter an attempt: somebody came to the door but had no access. It stays due."""
    with cli_errors():
        from doorround.logbook.due import refuse_access
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            refuse_access(
                logbook, logbook.door(number, site, building), why, person, datetime.now(UTC)
            )
        typer.echo(f"Entered: no access to door {number}, {why}. It stays due.")


@doors_app.command("checked-before")
def checked_before(
    number: Number,
    on: Annotated[
        str | None, typer.Option(help="Day of its last check before doorround: 2026-05-11.")
    ] = None,
    source: Annotated[
        str, typer.Option(help='Where that is recorded, such as "logbook on paper, page 12".')
    ] = "by book",
    by: Annotated[str | None, typer.Option(help="Who checked it, as recorded there.")] = None,
    withdraw: Annotated[
        str | None, typer.Option(metavar="WHY", help="Withdraw the last one entered, and why.")
    ] = None,
    site: Site = None,
    building: Building = None,
    person: PersonName = "supervisor",
) -> None:
    """Enter a door's last check before doorround: its due date is counted from that day."""
    with cli_errors():
        from doorround.domain.plain_text import plain_line
        from doorround.domain.schedule.day_input import read_day
        from doorround.logbook.door_changes import enter_last_check, withdraw_last_check
        from doorround.opened_logbook import open_logbook

        if (on is None) == (withdraw is None):
            raise ValueError("Give the day: --on 2026-05-11. Or withdraw one: --withdraw WHY.")
        with open_logbook(read_settings()) as logbook:
            door = logbook.door(number, site, building)
            now = datetime.now(UTC)
            if withdraw is not None:
                withdraw_last_check(logbook, door, withdraw, person, now)
                typer.echo(f"Door {door.number}: that check before doorround no longer counts.")
                return
            name = plain_line(by, "by") if by else None
            new = enter_last_check(logbook, door, read_day(on or ""), source, person, now, name)
        outcome = "entered" if new else "was entered already"
        typer.echo(f"Door {door.number}: last check before doorround on {on} ({source}) {outcome}.")
