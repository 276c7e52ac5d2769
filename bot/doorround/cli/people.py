"""doorround people: invites, roles, leaving, hand-over, personal data."""

from __future__ import annotations

import json
import secrets
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.old_names import RenamedCommands
from doorround.cli.options import AsJson, PersonName
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.domain.invites import Invite
    from doorround.domain.people import Person

people_app = typer.Typer(
    help="Who may check doors, and who may read about them.",
    cls=RenamedCommands,
    no_args_is_help=True,
)
Sites = Annotated[list[str] | None, typer.Option("--site", help="Only for this site. Repeatable.")]
Name = Annotated[str, typer.Argument(help="Name, as in the logbook.")]


@people_app.command("invite")
def invite(
    role: Annotated[str, typer.Option(help="caretaker, supervisor or auditor.")],
    site: Sites = None,
    days: Annotated[
        int, typer.Option(min=1, max=60, help="Days for which the invite is valid.")
    ] = 7,
    name: Annotated[
        str | None,
        typer.Option(help="Name in the logbook; or of somebody known who has a new account."),
    ] = None,
    person: PersonName = "supervisor",
) -> None:
    """Invite one person: prints a link, and a code that can be sent to the bot instead.

    Valid for one use.
    """
    with cli_errors():
        from doorround.domain.invites import CODE_SIGNS, new_code
        from doorround.domain.links import invite_payload, start_link
        from doorround.domain.people import role_named
        from doorround.logbook.people import People
        from doorround.opened_logbook import open_logbook

        settings = read_settings()
        code = new_code(secrets.token_bytes(CODE_SIGNS))
        with open_logbook(settings) as logbook:
            made = People(logbook).invite(
                code, role_named(role), tuple(site or ()), days, person, datetime.now(UTC), name
            )
        if settings.bot_name:
            typer.echo(f"Link: {start_link(settings.bot_name, invite_payload(code))}")
        else:
            typer.echo("No link: set DOORROUND_BOT_NAME to the bot's user name.")
        typer.echo(f"Code: {code}")
        typer.echo(
            f"For one {made.role}, until {made.expires:%Y-%m-%d %H:%M} UTC. Invite {made.id}."
        )


@people_app.command("list")
def list_people(as_json: AsJson = False) -> None:
    """List everybody known, with role and sites, and open invites."""
    with cli_errors():
        from doorround.logbook.people import People
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            people = logbook.people()
            invites = People(logbook).invites()
        rows = [_row(person) for person in people]
        empty = "Nobody yet. Invite somebody: doorround people invite --role supervisor."
        still_open = [each for each in invites if each.closed(datetime.now(UTC)) is None]
        show_listing(("name", "role", "sites"), rows, as_json, empty, map(_invite_line, still_open))


def _row(person: Person) -> Row:
    role = "left" if person.gone else str(person.role)
    data = {
        "name": person.name,
        "role": person.role,
        "sites": person.sites,
        "left": person.gone,
        "since": person.since.isoformat(),
    }
    return Row(data, (person.name, role, ", ".join(person.sites) or "every site"))


def _invite_line(invite: Invite) -> str:
    known = f" for {invite.name}" if invite.name else ""
    until = f"{invite.expires:%Y-%m-%d %H:%M} UTC"
    return f"invite {invite.id}{known}: {invite.role}, until {until}"


@people_app.command("role")
def role(
    name: Name,
    role: Annotated[str, typer.Argument(help="caretaker, supervisor or auditor.")],
    site: Sites = None,
    every_site: Annotated[
        bool, typer.Option("--every-site", help="For every site, including future ones.")
    ] = False,
    person: PersonName = "supervisor",
) -> None:
    """Change somebody's role. Sites stay as they are if none are given."""
    with cli_errors():
        from doorround.domain.people import role_named
        from doorround.logbook.people import People
        from doorround.opened_logbook import open_logbook

        sites = () if every_site else tuple(site) if site else None
        with open_logbook(read_settings()) as logbook:
            now = People(logbook).change_role(
                name, role_named(role), sites, person, datetime.now(UTC)
            )
        typer.echo(f"{now.name} is {now.role} now, for {', '.join(now.sites) or 'every site'}.")


@people_app.command("remove")
def remove(
    name: Name,
    even_last: Annotated[
        bool,
        typer.Option("--even-last", help="Even if no supervisor is left; invite one afterwards."),
    ] = False,
    yes: Annotated[
        bool, typer.Option("--yes", help="Do not ask for confirmation; for scripts.")
    ] = False,
    person: PersonName = "supervisor",
) -> None:
    """Remove a person's access, after confirmation.

    Their entries stay in the logbook.
    """
    with cli_errors():
        from doorround.logbook.people import People
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            known = People(logbook).person(name)
            if not (yes or known.gone or _sure(f"{name}, {known.role}, would lose access. Sure?")):
                typer.echo(f"{name} stays.")
                return
            People(logbook).leave(name, person, datetime.now(UTC), even_last=even_last)
        typer.echo(
            f"{name} left. An open check can still be handed over: doorround people handover."
        )


def _sure(question: str) -> bool:
    """Whether somebody says yes. Raises ValueError if there is nobody to ask."""
    try:
        return typer.confirm(question)
    except typer.Abort:
        typer.echo()
        raise ValueError("Nobody answered, so nothing was done. In a script, add --yes.") from None


@people_app.command("withdraw")
def withdraw(
    id: Annotated[
        str, typer.Argument(help="The invite's eight digits; see doorround people list.")
    ],
    person: PersonName = "supervisor",
) -> None:
    """Withdraw an open invite."""
    with cli_errors():
        from doorround.logbook.people import People
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            People(logbook).withdraw_invite(id, person, datetime.now(UTC))
        typer.echo(f"Invite {id} is withdrawn.")


@people_app.command("handover")
def handover(
    giver: Annotated[str, typer.Argument(metavar="FROM", help="Whose round it was.")],
    taker: Annotated[str, typer.Argument(metavar="TO", help="Whose round it is now.")],
    person: PersonName = "supervisor",
) -> None:
    """Hand over a caretaker's round: the sites, and any check in progress."""
    with cli_errors():
        from doorround.channels.messenger.outbound.notify import notify
        from doorround.channels.messenger.round_handover import handed_over
        from doorround.opened_logbook import open_logbook

        now = datetime.now(UTC)
        with open_logbook(read_settings()) as logbook, logbook.writing():
            check, asides = handed_over(logbook, giver, taker, person, now)
            for place, aside in enumerate(asides):
                notify(logbook, aside, f"handed/{now.isoformat()}/{place}", now)
        typer.echo(
            f"{taker} has the round of {giver} now"
            + (f", door {check.door.number} first." if check else ".")
        )


@people_app.command("away")
def away(
    name: Name,
    first: Annotated[str, typer.Option("--from", help="First day, such as 2026-03-02.")],
    last: Annotated[str, typer.Option("--until", help="Last day, such as 2026-03-13.")],
    deputy: Annotated[
        str | None, typer.Option(help="Who does the work meanwhile. Default: the supervisor.")
    ] = None,
    person: PersonName = "supervisor",
) -> None:
    """Enter days off: a deputy, or else the supervisor, does the work meanwhile."""
    with cli_errors():
        from doorround.cli.options import day_of
        from doorround.logbook.reminder_log import take_days_off
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            days = day_of(first, "UTC"), day_of(last, "UTC")
            take_days_off(logbook, name, *days, person, datetime.now(UTC), deputy)
        has = deputy or "the supervisor"
        typer.echo(f"{name} is away from {first} to {last}; {has} does the work.")


@people_app.command("snooze")
def snooze(
    name: Name,
    days: Annotated[
        int, typer.Option(help="Number of days; consecutively no more than the setting allows.")
    ] = 1,
) -> None:
    """Snooze somebody's reminders for some days; anything due is sent afterwards."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.logbook.people import People
        from doorround.logbook.reminder_log import snooze
        from doorround.opened_logbook import open_logbook

        with open_logbook(read_settings()) as logbook:
            known = People(logbook).person(name).name
            until = snooze(logbook, known, days, datetime.now(UTC), read_plan().snooze_days)
        typer.echo(f"{name} will be reminded again from {until.isoformat()} on.")


@people_app.command("data")
def data(
    name: Name,
    out: Annotated[Path | None, typer.Option(help="File to write. Default: print it.")] = None,
) -> None:
    """Export all personal data of a person as JSON: accounts, consent, entries, hashes of
    recordings.
    """
    with cli_errors():
        from doorround.logbook.recordings import own_data
        from doorround.messages.summaries import CAUTION
        from doorround.opened_logbook import open_logbook

        settings = read_settings()
        with open_logbook(settings) as logbook:
            kept = own_data(logbook, name, settings.recordings, datetime.now(UTC))
        text = json.dumps({"caution": CAUTION, **kept}, ensure_ascii=False, indent=2)
        if out is None:
            typer.echo(text)
        else:
            out.write_text(text + "\n", encoding="utf-8")
            typer.echo(f"Written: {out}")
