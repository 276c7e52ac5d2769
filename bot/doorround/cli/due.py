"""doorround due, reminders, summary, intervals: what is due on a day, reminders, and the
supervisor's summary.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from doorround.cli.cli_errors import cli_errors
from doorround.cli.listing import Row, show_listing
from doorround.cli.options import AsJson, On, day_of
from doorround.config.settings import read_settings

if TYPE_CHECKING:
    from doorround.domain.inspection_interval import Advice
    from doorround.domain.schedule.due import DoorId, DoorStatus, Due
    from doorround.domain.schedule.nudges import Nudge
    from doorround.domain.schedule.repair_looks import Look


def due(on: On = None, as_json: AsJson = False) -> None:
    """List doors that are overdue, due on that day, or due by its Sunday, in walking order."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.domain.schedule.due import due_list
        from doorround.domain.schedule.repair_looks import looks
        from doorround.logbook.clock import doubt_now
        from doorround.logbook.defects import read_defects
        from doorround.logbook.due import door_statuses, doors_due
        from doorround.logbook.settings_log import plan_on
        from doorround.opened_logbook import open_existing

        settings = read_settings()
        plan = read_plan()
        day = day_of(on, settings.zone)
        with open_existing(settings) as logbook:
            plan = plan_on(logbook, plan, day)
            found = due_list(
                doors_due(logbook, plan.intervals, day, datetime.now(UTC)), plan.intervals, day
            )
            defects = read_defects(logbook, plan.defects, day)
            doubt = doubt_now(logbook)
            places = {each.id: each for each in door_statuses(logbook, day)}
        out = defects.out
        short = [_look_row(each, places) for each in looks(defects.all.values(), day)]
        waiting = defects.to_be_looked_at
        rows = [*short, *(_due_row(each, out.get(each.door.id)) for each in found)]
        empty = f"Nothing is due by the Sunday after {day.isoformat()}."
        show_listing(
            DUE_TITLES, rows, as_json, empty, _due_notes(doubt.why if doubt else None, waiting)
        )


DUE_TITLES = ("state", "due", "door", "where", "late", "how often", "attempts", "out of action")


def _due_notes(doubt: str | None, waiting: Sequence[str]) -> Iterator[str]:
    if doubt:
        yield (
            f"The clock is in doubt: {doubt}. Checks signed by it are not counted. "
            "See: doorround logbook clock"
        )
    if waiting:
        yield f"Repaired, not looked at yet, out of action until then: door {', '.join(waiting)}"


def _due_row(due: Due, out: str | None) -> Row:
    door = due.door
    late = f"{due.days_late} day{'' if due.days_late == 1 else 's'} late" if due.days_late else ""
    tried = f"no access {door.tries}×, last {door.tried.isoformat()}" if door.tried else ""
    ended = f"OUT OF ACTION: {out}" if out else ""
    day = due.on.isoformat()
    how_often = str(due.reason)
    how_often += f"; set aside: {due.outweighed}" if due.outweighed else ""
    cells = (str(due.when), day, door.number, door.where, late, how_often, tried, ended)
    return Row(_as_row(due, out), cells, urgent=bool(out))


def _look_row(look: Look, places: Mapping[DoorId, DoorStatus]) -> Row:
    """A repair waiting for a look, with the same keys as a due check."""
    door, what = places.get(look.door), "; ".join(each.what for each in look.defects)
    where = door.where if door else ""
    late = f"{look.days_late} days late" if look.days_late else ""
    data = {
        **dict(zip(("site", "building", "door"), look.door, strict=True)),
        "floor": door.floor if door else "",
        "place": door.place if door else "",
        "kind": "look",
        "state": look.when.value,
        "due": look.on.isoformat(),
        "days_late": look.days_late,
        "defects": [each.id for each in look.defects],
        "why": f"repaired, not looked at yet: {what}",
    }
    number = look.door[2]
    cells = (str(look.when), look.on.isoformat(), number, where, late, str(data["why"]), "", "")
    return Row(data, cells)


def _as_row(due: Due, out: str | None) -> dict[str, Any]:
    door = due.door
    return {
        "door": door.number,
        "site": door.site,
        "building": door.building,
        "floor": door.floor,
        "place": door.place,
        "kind": "check",
        "state": due.when.value,
        "due": due.on.isoformat(),
        "days_late": due.days_late,
        "every": str(due.reason.every),
        "why": due.reason.why,
        "source": due.reason.source,
        "outweighed": due.outweighed and str(due.outweighed),
        "checked": door.checked and door.checked.isoformat(),
        "tried": door.tried and door.tried.isoformat(),
        "attempts": door.tries,
        "out_of_action": out,
    }


def reminders(
    on: On = None,
    dry_run: Annotated[
        bool, typer.Option("--dry-run", help="Only show who would get which message.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Write the reminders that are due now into the outbox, as the running bot does
    automatically.
    """
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.logbook.reminder_log import chats_by_person
        from doorround.logbook.settings_log import note_settings
        from doorround.opened_logbook import open_existing
        from doorround.reminders.nudges import nudges_of, send_nudges

        settings = read_settings()
        plan = read_plan()
        now = datetime.now(UTC)
        if on is not None and not dry_run:
            raise ValueError(
                "A day can only be given with --dry-run: messages are always sent now."
            )
        day = day_of(on, settings.zone)
        with open_existing(settings) as logbook:
            if not dry_run:
                note_settings(logbook, plan, now)
            found = (
                nudges_of(logbook, plan, day, now) if dry_run else send_nudges(logbook, plan, now)
            )
            chats = chats_by_person(logbook)
        for each in found:
            _tell_reminder(each, each.to in chats, as_json)
        if not found and not as_json:
            typer.echo("There are no reminders to send.")


def _tell_reminder(nudge: Nudge, reached: bool, as_json: bool) -> None:
    if not as_json:
        typer.echo(f"— {nudge.to}{'' if reached else ' (no chat yet)'} —\n{nudge.text}\n")
        return
    said = [[*point.subject, point.step.value] for point in nudge.points]
    row = {"key": nudge.key, "to": nudge.to, "reached": reached, "text": nudge.text, "said": said}
    typer.echo(json.dumps(row, ensure_ascii=False))


def summary(
    on: On = None,
    every: Annotated[str, typer.Option(help="daily, weekly or monthly; up to that day.")] = "daily",
    picture: Annotated[
        Path | None, typer.Option(help="Also draw the chart: a PNG file to write.")
    ] = None,
    dark: Annotated[bool, typer.Option("--dark", help="Draw light on dark.")] = False,
) -> None:
    """Print the supervisor's summary of a day, as things stood at its end: a ten-second read."""
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.opened_logbook import open_existing
        from doorround.reports.summary import Frequency, report

        if every not in list(Frequency):
            raise ValueError(f'"{every}": write one of {", ".join(Frequency)}.')
        settings = read_settings()
        plan = read_plan()
        with open_existing(settings) as logbook:
            made = report(logbook, plan, Frequency(every), day_of(on, settings.zone), None)
        typer.echo(made.summary.whole_text)
        if picture is not None:
            from doorround.reports.picture import draw_summary

            picture.write_bytes(draw_summary(made.figures, dark))
            typer.echo(f"Drawn: {picture}")


def intervals(
    door: Annotated[str | None, typer.Option(help="Only for the door of that number.")] = None,
    availability: Annotated[
        float,
        typer.Option(help="Target availability: share of the time in which a door works, 0 to 1."),
    ] = 0.99,
    as_json: AsJson = False,
) -> None:
    """Suggest check intervals from the history of checks, by use of the door; never longer than
    now.
    """
    with cli_errors():
        from doorround.config.schedule_settings import read_plan
        from doorround.domain.door import Use
        from doorround.domain.inspection_interval import advise
        from doorround.domain.schedule.intervals import shortest
        from doorround.logbook.history import gaps_by_use
        from doorround.opened_logbook import open_existing

        if not 0.5 <= availability < 1:
            raise ValueError(
                f"{availability} is not a possible target. Write one from 0.5 to 0.9999."
            )
        plan = read_plan()
        with open_existing(read_settings()) as logbook:
            found = gaps_by_use(logbook, door)
        rows = []
        for use, gaps in sorted(found.items()):
            reasons = plan.intervals.in_force(Use(use) if use else None, door or "")
            rows.append(_advice_row(use, advise(gaps, shortest(reasons).every, availability)))
        show_listing(("use", "how often"), rows, as_json, "No door has been checked twice yet.")


def _advice_row(use: str, advice: Advice) -> Row:
    data = {
        "use": use or None,
        "rate": advice.rate and vars(advice.rate),
        "present_days": advice.present,
        "unprotected": advice.now,
        "suggested_days": advice.suggested,
        "text": advice.text,
    }
    return Row(data, (use or "use not known", advice.text))
