"""doorround people add, area; doors spread: people without a messenger, areas, and the first checks
of a register imported at once.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, On, PersonName, day_of
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.domain.schedule.due import DoorStatus

Several = list[str] | None


def add(
    name: Annotated[str, typer.Argument(help="Name for the logbook.")],
    role: Annotated[str, typer.Option(help="caretaker, supervisor, auditor or contractor.")],
    firm: Annotated[str, typer.Option(help="For a contractor: the firm.")] = "",
    site: Annotated[Several, typer.Option("--site", help="Only for this site.")] = None,
    person: PersonName = "supervisor",
) -> None:
    """Add somebody who has no messenger: a caretaker reached by phone, a contractor."""
    with cli_errors():
        from doorround.domain.people import Role, role_named
        from doorround.logbook.rota import add_person
        from doorround.opened_logbook import open_logbook

        given = role_named(role)
        if given is Role.CONTRACTOR and not firm.strip():
            raise ValueError("Say which firm: --firm.")
        known_as = f"{firm.strip()}: {name}" if firm.strip() else name
        with open_logbook(read_settings()) as logbook:
            made = add_person(
                logbook, known_as, given, tuple(site or ()), person, datetime.now(UTC)
            )
        typer.echo(f"{made.name} has been added, {made.role}.")


def area(
    name: Annotated[str, typer.Argument(help="Name, as in the logbook.")],
    floor: Annotated[Several, typer.Option("--floor", help="A floor. Repeatable.")] = None,
    building: Annotated[Several, typer.Option("--building", help="A building, likewise.")] = None,
    use: Annotated[Several, typer.Option("--use", help="A use of doors, likewise.")] = None,
    person: PersonName = "supervisor",
) -> None:
    """Assign floors, buildings or uses to somebody: they check those doors. None removes the
    assignment.
    """
    with cli_errors():
        from doorround.domain.schedule.rota import Area
        from doorround.logbook.rota import give_area
        from doorround.opened_logbook import open_logbook

        ground = Area(tuple(floor or ()), tuple(building or ()), tuple(use or ()))
        with open_logbook(read_settings()) as logbook:
            give_area(logbook, name, ground, person, datetime.now(UTC))
        given = (
            ", ".join((*ground.floors, *ground.buildings, *ground.uses)) or "no area of their own"
        )
        typer.echo(f"{name} has {given} now.")


def spread(
    on: On = None,
    confirm: Annotated[
        bool, typer.Option("--confirm", help="Enter it instead of only showing it.")
    ] = False,
    person: PersonName = "supervisor",
    as_json: AsJson = False,
) -> None:
    """Spread the first checks of doors never checked over their intervals, in walking order,
    busiest first, starting from a given day. Shows a preview; --confirm enters it.
    """
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.domain.schedule.spread import spread_first_checks
        from doorround.logbook.due import door_statuses
        from doorround.logbook.first_checks import plan_first_checks
        from doorround.opened_logbook import open_existing
        from doorround.reminders.calendar import is_free

        settings = read_settings()
        plan = read_plan()
        first = day_of(on, settings.zone)
        days = [first + timedelta(days=nth) for nth in range(400)]
        working = [day for day in days if not is_free(plan, day)]
        with open_existing(settings) as logbook:
            never = [each for each in door_statuses(logbook) if each.checked is None]
            planned = spread_first_checks(never, plan.intervals, working)
            if confirm:
                plan_first_checks(logbook, planned, person, datetime.now(UTC))
        rows = [_planned_row(door, day, confirm) for door, day in planned]
        done = (
            "Entered." if confirm else "Nothing has been entered yet. To enter it, add --confirm."
        )
        notes = [f"{len(planned)} doors never checked. {done}"] if planned else []
        show_listing(
            ("first check", "door", "where"), rows, as_json, "Every door was checked.", notes
        )


def _planned_row(door: DoorStatus, day: date, entered: bool) -> Row:
    data = {
        "site": door.site,
        "building": door.building,
        "door": door.number,
        "floor": door.floor,
        "place": door.place,
        "use": door.use,
        "first_check": day.isoformat(),
        "entered": entered,
    }
    return Row(data, (day.isoformat(), door.number, door.where))
