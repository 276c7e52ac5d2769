"""Reads the events of a period, and the state at its end, for the summary."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import pairwise

from doorround.domain.defects import ChangeKind
from doorround.domain.schedule.due import DoorId, DoorStatus, Due, DueState, due_list, overdue_count
from doorround.domain.schedule.plan import Plan, long_out
from doorround.domain.summary import Period, Trend, Visit
from doorround.logbook.as_of import as_of, corrections_of
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import Defects, defects_as_of
from doorround.logbook.due import door_statuses
from doorround.logbook.local_days import LocalDays
from doorround.logbook.register_as_of import Names
from doorround.logbook.rota import rota_of
from doorround.logbook.settings_log import plan_as_of
from doorround.logbook.store import Logbook
from doorround.logbook.unconfirmed import unconfirmed

Knows = Callable[[str], bool]


def visits_after(logbook: Logbook, after: int, until: int, knows: Knows) -> list[Visit]:
    """Signed visits and refusals entered after one entry and up to another, whatever their date,
    within somebody's sites.
    """
    sql = """SELECT at, number, site, building, person, seen, doubted FROM visits
        WHERE seq > ? AND seq <= ? AND entered IS NULL ORDER BY seq"""
    local = LocalDays(logbook.zone)
    names = Names(logbook, until)
    return [
        Visit(local.of(at), names.then((site, building, number)), person, bool(seen), bool(doubted))
        for at, number, site, building, person, seen, doubted in logbook._rows(sql, after, until)
        if knows(site)
    ]


def read_period(
    logbook: Logbook,
    plan: Plan,
    name: str,
    first: date,
    last: date,
    knows: Knows,
    steps: Sequence[tuple[str, date, date]],
    since: int | None = None,
    long: bool = False,
) -> Period:
    """A period and its final state. steps: of the trend. since: corrections after this entry."""
    after, until = _entries(logbook, first, last, since)
    plan = plan_as_of(logbook, plan, until)
    found = _of_sites(defects_as_of(logbook, plan.defects, until), knows)
    doors = [each for each in door_statuses(logbook, last) if knows(each.site)]
    due = _due(doors, found.since, plan, last)
    period = Period(
        name,
        first,
        last,
        due,
        visits_after(logbook, after, until, knows),
        list(found.all.values()),
        found.out,
        len(doors),
        [_step(logbook, plan, step, knows) for step in steps],
        after,
        until,
        _doubt(logbook, until),
        tuple(corrections_of(logbook, until)),
        long,
        found.since,
        {each.id: each.where for each in doors if each.id in found.out},
        _snoozed(logbook, due, until, last),
        _common(doors),
        list(found.retired.values()),
    )
    return replace(period, counted=_counted_by_day(logbook, plan, period, knows))


def _counted_by_day(
    logbook: Logbook, plan: Plan, period: Period, knows: Knows
) -> Mapping[ChangeKind, int] | None:
    """How often defects appeared, ended or reappeared, counted at the end of each day, so that days
    add up to weeks and months: a defect found on one day and withdrawn on another was reported as
    found. None if nothing was, and the whole period gives the same counts.
    """
    after = period.after
    until = period.until
    whole = [period.first + timedelta(days=nth) for nth in range((period.last - period.first).days)]
    ends = [end for day in whole if after < (end := as_of(logbook, day)) < until]
    sql = "SELECT seq, gone FROM sightings WHERE gone > ? AND gone <= ?"
    back = logbook._rows(sql, after, until) if ends else []
    if not any(seq <= end < gone for seq, gone in back for end in ends):
        return None
    counted = Counter[ChangeKind]()
    for before, end in pairwise((after, *ends, until)):
        found = _of_sites(defects_as_of(logbook, plan.defects, end), knows)
        defects = (*found.all.values(), *found.retired.values())
        counted.update(
            change.what for each in defects for change in each.changes if before < change.seq <= end
        )
    return counted


def with_unconfirmed(logbook: Logbook, period: Period, knows: Knows) -> Period:
    """The same, plus reports unconfirmed at its end, and the locations of those doors."""
    reported = [each for each in unconfirmed(logbook, period.until) if knows(each.door[0])]
    if not reported:
        return period
    doors = {each.door for each in reported}
    places = {
        each.id: each.where for each in door_statuses(logbook, period.last) if each.id in doors
    }
    return replace(period, unconfirmed=reported, places={**places, **period.places})


def _of_sites(found: Defects, knows: Knows) -> Defects:
    """Those within somebody's sites."""
    return replace(
        found,
        all={id: each for id, each in found.all.items() if knows(each.door[0])},
        out={door: why for door, why in found.out.items() if knows(door[0])},
        retired={id: each for id, each in found.retired.items() if knows(each.door[0])},
    )


def _entries(logbook: Logbook, first: date, last: date, since: int | None) -> tuple[int, int]:
    """Entry range of the period (exclusive start, inclusive end). Every entry is in exactly one
    day, week and month, and days add up to weeks.
    """
    if since is not None:
        return since, logbook.last_seq()
    return as_of(logbook, first - timedelta(days=1)), as_of(logbook, last)


def _doubt(logbook: Logbook, until: int) -> str:
    """Why the clock is in doubt now, if nothing was entered since."""
    doubt = doubt_now(logbook) if until == logbook.last_seq() else None
    return doubt.why if doubt else ""


def _due(doors: list[DoorStatus], since: Mapping[DoorId, date], plan: Plan, day: date) -> list[Due]:
    """Doors due by that day, except those long out of action."""
    return [
        each
        for each in due_list(doors, plan.intervals, day)
        if each.when is not DueState.THIS_WEEK and not long_out(since.get(each.door.id), plan, day)
    ]


def _snoozed(
    logbook: Logbook, due: list[Due], until: int, day: date
) -> list[tuple[str, date, int]]:
    """Who has snoozed beyond that day, until when, and how many of their doors are due."""
    rota = rota_of(logbook, until=until)
    waiting = Counter(
        minder.name for each in due if (minder := rota.minder(each.door, day)) is not None
    )
    return [
        (name, end, waiting[name])
        for name, end in sorted(rota.snoozed.items())
        if day < end and waiting[name]
    ]


def _common(doors: list[DoorStatus]) -> str:
    """Common name of the doors' buildings: the building, or the site, or a count."""
    buildings = {each.building for each in doors if each.building}
    sites = {each.site for each in doors if each.site}
    names = sorted(buildings) if len(buildings) == 1 else sorted(sites)
    return ", ".join(names) if len(names) <= 2 else f"{len(names)} sites"


def _step(logbook: Logbook, plan: Plan, step: tuple[str, date, date], knows: Knows) -> Trend:
    name, first, last = step
    until = as_of(logbook, last)
    after = as_of(logbook, first - timedelta(days=1))
    then = plan_as_of(logbook, plan, until)
    doors = [each for each in door_statuses(logbook, last) if knows(each.site)]
    standing = defects_as_of(logbook, then.defects, until).open
    return Trend(
        name,
        sum(each.seen for each in visits_after(logbook, after, until, knows)),
        overdue_count(doors, then.intervals, last),
        sum(knows(each.door[0]) for each in standing),
        len(doors),
    )
