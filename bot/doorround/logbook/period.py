"""What happened in some days, and how things stood at their end, read for the summary."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from doorround.domain.defects import Defect, State
from doorround.domain.schedule.due import When, due_list, overdue_count
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Span, Trend, Visit
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import read_defects
from doorround.logbook.due import LocalDays, midnight_after, standings
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

Knows = Callable[[str], bool]


def visits_between(logbook: Logbook, first: date, last: date, knows: Knows) -> list[Visit]:
    """Signed visits and refusals of some local days, in order, of the sites that somebody has to do
    with.
    """
    begin, end = (
        stamp(midnight_after(day, logbook.zone)) for day in (first - timedelta(days=1), last)
    )
    return _visits(logbook, "at >= ? AND at < ?", (begin, end), knows)


def visits_after(logbook: Logbook, seq: int, knows: Knows) -> list[Visit]:
    """Signed visits and refusals that were entered after that entry, of whatever day."""
    return _visits(logbook, "seq > ?", (seq,), knows)


def _visits(logbook: Logbook, where: str, given: tuple[object, ...], knows: Knows) -> list[Visit]:
    sql = f"""SELECT at, number, site, building, person, seen, doubted FROM visited
        WHERE {where} AND entered IS NULL ORDER BY seq"""
    local = LocalDays(logbook.zone)
    return [
        Visit(local.of(at), (site, building, number), person, bool(seen), bool(doubted))
        for at, number, site, building, person, seen, doubted in logbook._rows(sql, *given)
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
) -> Span:
    """One span, as it stood at the end of its last day. steps: name, first and last day of each
    step of the trend.
    since: of what was entered after that entry until now, instead of in those days.
    """
    found = read_defects(logbook, plan.defects, last if since is None else None)
    defects = [each for each in found.all.values() if knows(each.door[0])]
    doors = [each for each in standings(logbook, last) if knows(each.site)]
    due = [
        each for each in due_list(doors, plan.intervals, last) if each.when is not When.THIS_WEEK
    ]
    out = {door: why for door, why in found.out.items() if knows(door[0])}
    trend = [_step(logbook, plan, step, defects, knows) for step in steps]
    visits = (
        visits_between(logbook, first, last, knows)
        if since is None
        else visits_after(logbook, since, knows)
    )
    doubt = doubt_now(logbook)
    return Span(
        name,
        first,
        last,
        due,
        visits,
        defects,
        out,
        len(doors),
        trend,
        since,
        doubt.why if doubt else "",
    )


def _step(
    logbook: Logbook, plan: Plan, step: tuple[str, date, date], defects: list[Defect], knows: Knows
) -> Trend:
    name, first, last = step
    doors = [each for each in standings(logbook, last) if knows(each.site)]
    overdue = overdue_count(doors, plan.intervals, last)
    standing = sum(
        each.first <= last and (each.state is State.OPEN or each.ended is None or each.ended > last)
        for each in defects
    )
    return Trend(
        name,
        sum(each.seen for each in visits_between(logbook, first, last, knows)),
        overdue,
        standing,
    )
