"""doorround defects: faults in doors, who has them, by when, and their repair."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, KnownPersonName, On, PersonName, day_of
from doorround.config.settings import Settings, read_settings

if TYPE_CHECKING:
    from doorround.domain.defects import Deed, DeedKind, Defect

defects_app = typer.Typer(help="Defects: assignees, dates and repairs.", no_args_is_help=True)
Id = Annotated[int, typer.Argument(help="Number of the defect; see doorround defects list.")]
Evidence = Annotated[
    Path | None,
    typer.Option(
        "--evidence", help="A photo or another file: stored under its SHA-256, which is entered."
    ),
]


@defects_app.command("list")
def list_defects(
    on: On = None,
    everything: Annotated[bool, typer.Option("--all", help="Closed ones too.")] = False,
    as_json: AsJson = False,
) -> None:
    """List defects that are open or waiting for a check, most urgent first."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.domain.defects import State, by_urgency
        from doorround.logbook.defects import read_defects
        from doorround.logbook.settings_log import plan_on
        from doorround.messages.summaries import CAUTION
        from doorround.opened_logbook import open_existing

        settings = read_settings()
        day = day_of(on, settings.zone)
        with open_existing(settings) as logbook:
            found = read_defects(logbook, plan_on(logbook, read_plan(), day).defects, day)
        shown = [
            each
            for each in by_urgency(found.all.values())
            if everything or each.state is not State.CLOSED
        ]
        out = [
            f"Door {number} is OUT OF ACTION: {why}"
            for (_, _, number), why in sorted(found.out.items())
        ]
        rows = [Row(_data(each, day), _cells(each, day)) for each in shown]
        show_listing(TITLES, rows, as_json, "No defects are open.", (*out, CAUTION))


TITLES = ("defect", "door", "how soon", "what", "state", "who has it", "age", "meanwhile")


def _cells(defect: Defect, day: date) -> tuple[str, ...]:
    from doorround.domain.defects import NOT_LOOKED_AT, State

    late = f", {defect.late(day)} days late" if defect.late(day) else ""
    if defect.put_off and defect.by_rule:
        late += f" (later than our own rule, {defect.by_rule.isoformat()})"
    due = f"due {defect.due.isoformat()}{late}" if defect.due else "due at the next check"
    state = NOT_LOOKED_AT if defect.state is State.MADE_GOOD else str(defect.state)
    if defect.state is State.MADE_GOOD and defect.look_by:
        state += f", look by {defect.look_by.isoformat()}"
    stands = due if defect.state is State.OPEN else f"{state}, {defect.ended} by {defect.ended_by}"
    who = f"{defect.given_to} has it" if defect.given_to else "not assigned yet"
    again = f", reopened {defect.reopened}×" if defect.reopened else ""
    measures = f"meanwhile: {', '.join(defect.measures)}" if defect.measures else ""
    days = defect.age(day)
    age = f"{days} {'day' if days == 1 else 'days'} old{again}"
    door = f"door {defect.door[2]}"
    return (
        *(str(defect.id), door, str(defect.severity), defect.what),
        *(stands, who, age, measures),
    )


def _data(defect: Defect, day: date) -> dict[str, Any]:
    site, building, number = defect.door
    return {
        "defect": defect.id,
        "door": number,
        "site": site,
        "building": building,
        "what": defect.what,
        "component": defect.finding.component,
        "severity": defect.severity.value,
        "state": defect.state.value,
        "first": defect.first.isoformat(),
        "last": defect.last.isoformat(),
        "due": defect.due and defect.due.isoformat(),
        "days_late": defect.late(day),
        "due_by_rule": defect.by_rule and defect.by_rule.isoformat(),
        "days_late_by_rule": defect.late_by_rule(day),
        "look_by": defect.look_by and defect.look_by.isoformat(),
        "look_days_late": defect.look_late(day),
        "age": defect.age(day),
        "given_to": defect.given_to,
        "reopened": defect.reopened,
        "measures": list(defect.measures),
        "source": defect.finding.source,
        "ended": defect.ended and defect.ended.isoformat(),
        "ended_by": defect.ended_by,
        "deeds": [_deed_row(deed) for deed in defect.deeds],
    }


def _deed_row(deed: Deed) -> dict[str, Any]:
    return {
        "what": deed.kind.value,
        "on": deed.day.isoformat(),
        "person": deed.person,
        "text": deed.text,
        "to": deed.to,
        "by": deed.by and deed.by.isoformat(),
        "evidence": deed.evidence,
        "no_photo": deed.no_photo,
        "why": deed.why,
        "same_person": deed.same,
    }


@defects_app.command("assign")
def assign(
    id: Id,
    to: Annotated[str, typer.Option(help="Name of the assignee.")],
    by: Annotated[
        str | None,
        typer.Option(help="Target date, such as 2026-03-09. If not given, unchanged."),
    ] = None,
    why: Annotated[
        str, typer.Option(help="Reason, if the date is later than its severity allows.")
    ] = "",
    person: PersonName = "supervisor",
) -> None:
    """Assign a defect to somebody, with a date; a date later than its severity allows needs a
    reason.
    """
    with cli_errors():
        from doorround.domain.defects import DeedKind

        day = day_of(by, "UTC") if by else None
        _act(id, DeedKind.ASSIGNED, person, to=to, by=day, why=why)
        typer.echo(f"{to} has defect {id}" + (f", due {day.isoformat()}." if day else "."))


@defects_app.command("close")
def close(
    id: Id,
    how: Annotated[str, typer.Option(help='What was done, such as "two screws replaced".')],
    evidence: Evidence = None,
    no_photo: Annotated[
        str, typer.Option(help="Why there is no evidence, if --evidence is not given.")
    ] = "",
    person: KnownPersonName = None,
) -> None:
    """Enter that a defect was made good. It is closed once somebody looks at the repair, or a check
    does; until then, a door that is out of action remains so. If seen again, the defect reopens.
    """
    with cli_errors():
        from doorround.domain.defects import DeedKind

        _act(id, DeedKind.MADE_GOOD, person, how, evidence, no_photo=no_photo)
        typer.echo(
            f"Defect {id} is reported as made good, until a check of that door or somebody has"
            f" looked: doorround defects looked {id} --person NAME"
        )


@defects_app.command("looked")
def looked(
    id: Id,
    text: Annotated[str, typer.Option("--how", help="What was seen.")] = "",
    person: KnownPersonName = None,
) -> None:
    """Enter that somebody has looked at the repair: the defect is closed. The person who made it
    good may look at it too, and the entry says so.
    """
    with cli_errors():
        from doorround.domain.defects import DeedKind

        _act(id, DeedKind.LOOKED_AT, person, text)
        typer.echo(f"Defect {id} is closed.")


@defects_app.command("reopen")
def reopen(
    id: Id,
    why: Annotated[str, typer.Option(help="Why it is still open.")],
    person: KnownPersonName = None,
) -> None:
    """Reopen a defect that was made good or closed, with its previous date."""
    with cli_errors():
        from doorround.domain.defects import DeedKind

        _act(id, DeedKind.REOPENED, person, why)
        typer.echo(f"Defect {id} is open again.")


@defects_app.command("note")
def note(
    id: Id,
    text: Annotated[str, typer.Argument(help="The note.")],
    evidence: Evidence = None,
    person: PersonName = "supervisor",
) -> None:
    """Add a note or a photo to a defect."""
    with cli_errors():
        from doorround.domain.defects import DeedKind

        _act(id, DeedKind.NOTED, person, text, evidence)
        typer.echo(f"Noted at defect {id}.")


@defects_app.command("measure")
def measure(
    id: Id,
    text: Annotated[str, typer.Argument(help="What is being done meanwhile.")],
    evidence: Evidence = None,
    person: PersonName = "supervisor",
) -> None:
    """Enter a temporary measure: what keeps people safe until the defect is made good.

    The defect stays open.
    """
    with cli_errors():
        from doorround.domain.defects import DeedKind

        _act(id, DeedKind.MEASURE, person, text, evidence)
        typer.echo(f"Entered at defect {id}. It stays open.")


def _act(
    id: int,
    kind: DeedKind,
    person: str | None,
    text: str = "",
    evidence: Path | None = None,
    to: str | None = None,
    by: date | None = None,
    no_photo: str = "",
    why: str = "",
) -> None:
    from doorround.config.schedule_settings import read_plan
    from doorround.logbook.defect_deeds import act, known_name, only_supervisor
    from doorround.logbook.defects import read_defects
    from doorround.logbook.settings_log import note_settings
    from doorround.opened_logbook import open_existing

    settings = read_settings()
    with open_existing(settings) as logbook:
        plan = read_plan()
        now = datetime.now(UTC)
        note_settings(logbook, plan, now)
        found = read_defects(logbook, plan.defects)
        defect = found.all.get(id)
        if defect is None:
            gone = found.gone.get(id)
            became = (
                f"Defect {id} stands no more: {gone.ended_by}."
                if gone
                else f"There is no defect {id}."
            )
            raise ValueError(f"{became} See: doorround defects list --all.")
        if person is None:
            person = known_name(logbook, only_supervisor(logbook))
        kept = _keep(settings, evidence) if evidence else None
        act(logbook, defect, kind, person, now, text, to, by, kept, no_photo, why)


def _keep(settings: Settings, file: Path) -> str:
    """Store a file under its SHA-256 in the folder `evidence`; a picture is stripped of place, time
    and camera.
    """
    from doorround.channels.talk.evidence import keep_evidence

    name, drawn = keep_evidence(settings.home / "evidence", file)
    if not drawn:
        typer.echo(
            f"{file.name} is not a picture: it is stored unchanged, with any data about who"
            " made it.",
            err=True,
        )
    return name
