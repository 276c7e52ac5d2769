"""What happened in some days, and how things stood at their end, read for the summary."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date, timedelta

from doorround.domain.schedule.due import When, due_list, overdue_count
from doorround.domain.schedule.plan import Plan
from doorround.domain.summary import Span, Trend, Visit
from doorround.logbook.as_of import as_of, corrections_of
from doorround.logbook.clock import doubt_now
from doorround.logbook.defects import defects_as_of
from doorround.logbook.due import standings
from doorround.logbook.local_days import LocalDays
from doorround.logbook.register_as_of import Names
from doorround.logbook.settings_log import plan_as_of
from doorround.logbook.store import Logbook

Knows = Callable[[str], bool]


def visits_between(logbook: Logbook, first: date, last: date, knows: Knows) -> list[Visit]:
    """Those entered in some local days."""
    after = as_of(logbook, first - timedelta(days=1))
    return visits_after(logbook, after, as_of(logbook, last), knows)


def visits_after(logbook: Logbook, after: int, until: int, knows: Knows) -> list[Visit]:
    """Signed visits and refusals entered after one entry and up to another, of whatever day, of the
    sites that somebody has to do with.
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
) -> Span:
    """What was entered in some days, and how things stood at the end of the last, as the logbook
    knew them then.

    steps: name, first and last day of each step of the trend. since: of what was entered after that
    entry until now, instead of in those days. So whatever is entered is in one day, one week and
    one month, and days add up to weeks.
    """
    until = as_of(logbook, last) if since is None else logbook.last_seq()
    after = as_of(logbook, first - timedelta(days=1)) if since is None else since
    plan = plan_as_of(logbook, plan, until)
    found = defects_as_of(logbook, plan.defects, until)
    doors = [each for each in standings(logbook, last) if knows(each.site)]
    due = due_list(doors, plan.intervals, last)
    doubt = doubt_now(logbook) if until == logbook.last_seq() else None
    return Span(
        name,
        first,
        last,
        [each for each in due if each.when is not When.THIS_WEEK],
        visits_after(logbook, after, until, knows),
        [each for each in found.all.values() if knows(each.door[0])],
        {door: why for door, why in found.out.items() if knows(door[0])},
        len(doors),
        [_step(logbook, plan, step, knows) for step in steps],
        after,
        until,
        doubt.why if doubt else "",
        tuple(corrections_of(logbook, until)),
    )


def _step(logbook: Logbook, plan: Plan, step: tuple[str, date, date], knows: Knows) -> Trend:
    name, first, last = step
    until = as_of(logbook, last)
    after = as_of(logbook, first - timedelta(days=1))
    then = plan_as_of(logbook, plan, until)
    doors = [each for each in standings(logbook, last) if knows(each.site)]
    standing = defects_as_of(logbook, then.defects, until).open
    return Trend(
        name,
        sum(each.seen for each in visits_after(logbook, after, until, knows)),
        overdue_count(doors, then.intervals, last),
        sum(knows(each.door[0]) for each in standing),
    )
