"""The doorround command.

Every command reads settings, wires up the parts, and shows the result.
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated

import typer

from doorround.cli import areas
from doorround.cli.backup import backup
from doorround.cli.cli_errors import cli_errors
from doorround.cli.command_group import CommandGroup, colour, tell_version
from doorround.cli.defects import defects_app
from doorround.cli.doctor import doctor
from doorround.cli.due import due, intervals, reminders, summary
from doorround.cli.grammar import grammar_app
from doorround.cli.hear import hear
from doorround.cli.init import init
from doorround.cli.judge import judge, rules_app
from doorround.cli.labels import doors_app
from doorround.cli.listing import Row, show_listing
from doorround.cli.logbook import logbook_app
from doorround.cli.models import models_app
from doorround.cli.options import AsJson, ChecklistName, Engine
from doorround.cli.people import people_app
from doorround.cli.recordings import recordings_app
from doorround.cli.sample import sample_estate
from doorround.cli.serve import serve
from doorround.cli.settings import settings_app
from doorround.config.settings import read_settings

app = typer.Typer(
    name="doorround",
    help="Leads a caretaker through a fire door check by voice, offline, and keeps the logbook.",
    cls=CommandGroup,
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    epilog=(
        "Exit codes: 0 done, 1 done but something is wrong (see the command), 2 refused, with the"
        " reason, 141 output pipe closed."
    ),
)


@app.callback()
def doorround(
    context: typer.Context,
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Show the version and exit.", is_eager=True, callback=tell_version
        ),
    ] = False,
) -> None:
    """Leads a caretaker through a fire door check by voice, offline, and keeps the logbook."""
    colour(context)


app.add_typer(defects_app, name="defects")
app.add_typer(doors_app, name="doors")
app.add_typer(grammar_app, name="grammar")
app.add_typer(logbook_app, name="logbook")
app.add_typer(models_app, name="models")
app.add_typer(people_app, name="people")
people_app.command("add")(areas.add)
people_app.command("area")(areas.area)
doors_app.command("spread")(areas.spread)
app.add_typer(recordings_app, name="recordings")
app.add_typer(settings_app, name="settings")
app.command("backup")(backup)
app.command("doctor")(doctor)
app.command("due")(due)
app.command("reminders")(reminders)
app.command("intervals")(intervals)
app.command("summary")(summary)
app.add_typer(rules_app, name="rules")
app.command("hear")(hear)
app.command("init")(init)
app.command("judge")(judge)
app.command("sample-estate")(sample_estate)
app.command("serve")(serve)


@app.command()
def chat(
    door: Annotated[
        str | None, typer.Option(help="Number of the door. If not given, say or type which.")
    ] = None,
    site: Annotated[
        str | None, typer.Option(help="Site of --door, if several doors have that number.")
    ] = None,
    building: Annotated[str | None, typer.Option(help="Building of --door, likewise.")] = None,
    person: Annotated[str, typer.Option(help="Who checks; recorded in the logbook.")] = "caretaker",
    checklist: ChecklistName = "routine",
) -> None:
    """Check doors in the terminal: type, give the path of a voice file, or record. With --door,
    just that one.

    An open check by the same person resumes where it stopped.
    """
    with cli_errors():
        from doorround.cli.terminal_talk import taken_up, talk_until_kept, tell_help
        from doorround.config.data_folder_lock import only_chat
        from doorround.logbook.fault_report import tell_faults
        from doorround.opened_logbook import open_logbook
        from doorround.wiring import EngineLoader, load_ruled_checklist, make_talk

        settings = read_settings()
        with only_chat(settings.home, person), open_logbook(settings) as logbook:
            tell_faults(logbook.verify(), sys.stderr)
            loader = EngineLoader(settings)
            loader.load_in_background()
            asked = load_ruled_checklist(checklist)
            talk = make_talk(f"terminal/{person}", person, logbook, loader, settings, asked)
            tell_help(settings.models)
            at = logbook.door(door, site, building) if door else None
            first = taken_up(talk, logbook, at)
            if first is None:
                first = talk.begin_at(at, _now(), False) if at else talk.ask_door(_now())
            talk_until_kept(talk, first, _now, door_after_door=door is None)


@app.command()
def play(
    files: Annotated[
        list[Path], typer.Argument(help="Scripts of visits, such as demo_conversations/*.talk.")
    ],
    engine: Engine = None,
    quiet: Annotated[bool, typer.Option(help="Show only what differs.")] = False,
    logbook: Annotated[bool, typer.Option(help="Show the logbook at the end.")] = False,
    pace: Annotated[
        float, typer.Option(help="Seconds to wait before each line, for watching.")
    ] = 0.0,
) -> None:
    """Replay scripted visits against the real engines, dialogue and logbook.

    Fails if the talk differs from the script.
    """
    with cli_errors():
        from doorround.cli.replayed_visit import replayed_as_written
        from doorround.wiring import EngineLoader

        loader = EngineLoader(read_settings(), engine)
        wrong = 0
        for path in files:
            wrong += not replayed_as_written(path, loader, pace, quiet=quiet, logbook=logbook)
        typer.echo(f"{len(files) - wrong} of {len(files)} visits went as written.")
        if wrong:
            raise typer.Exit(1)


@app.command()
def questions(
    checklist: ChecklistName = "routine",
    as_json: AsJson = False,
) -> None:
    """List the questions of a checklist: key, component, type of answer, example phrases."""
    with cli_errors():
        from doorround.cli.question_listing import question_listing
        from doorround.config.resources import load_checklist
        from doorround.wiring import load_understanding

        found = question_listing(load_checklist(checklist), load_understanding().grammar_set)
        rows = [Row(each, (each["key"], each["kind"], each["ask"])) for each in found]
        show_listing(("question", "answer", "as it is asked"), rows, as_json)


def _now() -> datetime:
    return datetime.now(UTC)


def main() -> None:
    """Entry point of the doorround command."""
    sys.stdout.reconfigure(errors="replace")  # type: ignore[union-attr]
    app()
