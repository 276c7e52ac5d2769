"""First checks of a register imported at once, spread over the doors' intervals. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date

from doorround.domain.door import Use
from doorround.domain.schedule.due import DoorStatus
from doorround.domain.schedule.intervals import Intervals, shortest
from doorround.domain.schedule.walking_order import walk


def spread_first_checks(
    doors: Iterable[DoorStatus], intervals: Intervals, days: Sequence[date]
) -> list[tuple[DoorStatus, date]]:
    """A day for each door, by day and then in walking order.

    days: working days, from the first on. Doors with the same interval are shared evenly among the
    working days within it, in walking order; so the busiest, with the shortest interval, come
    first.
    """
    by_interval: dict[float, list[DoorStatus]] = {}
    for door in doors:
        use = Use(door.use) if door.use else None
        every = shortest(intervals.in_force(use, door.number)).every.days
        by_interval.setdefault(every, []).append(door)
    found = []
    for every, some in sorted(by_interval.items()):
        within = [day for day in days if (day - days[0]).days < every] or list(days[:1])
        for nth, door in enumerate(walk(some)):
            found.append((door, within[nth * len(within) // len(some)]))
    order = {door.id: nth for nth, door in enumerate(walk([door for door, _ in found]))}
    return sorted(found, key=lambda each: (each[1], order[each[0].id]))
