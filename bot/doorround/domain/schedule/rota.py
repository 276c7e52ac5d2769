"""Who minds which door on a day: hand-overs, days off, snoozes, deputies. Pure; days are local."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from doorround.domain.people import Person, Role
from doorround.domain.schedule.due import DoorStatus


@dataclass(frozen=True)
class Area:
    """Somebody's area: doors on one of the floors, in one of the buildings, of one of the uses;
    empty for any. All conditions must match.
    """

    floors: tuple[str, ...] = ()
    buildings: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()

    def covers(self, door: DoorStatus) -> bool:
        """Whether a door is in the area. An empty area covers nothing."""
        given = ((self.floors, door.floor), (self.buildings, door.building), (self.uses, door.use))
        fits = all(not wanted or _among(has or "", wanted) for wanted, has in given)
        return fits and bool(self.floors or self.buildings or self.uses)


def _among(has: str, wanted: tuple[str, ...]) -> bool:
    return any(has.casefold() == each.casefold() for each in wanted)


@dataclass(frozen=True)
class Rota:
    """people: everybody known. away: each one's days off, first and last. snoozed: end of each
    one's snooze. handed: rounds handed over, in order: day, giver, taker. reached: people who can
    be written to; None for everybody. deputies: stand-ins for some days off. areas: assigned areas.
    walked: who checked last on each floor: site, building, floor.
    """

    people: tuple[Person, ...]
    away: Mapping[str, tuple[tuple[date, date], ...]] = field(default_factory=dict)
    snoozed: Mapping[str, date] = field(default_factory=dict)
    handed: tuple[tuple[date, str, str], ...] = ()
    reached: frozenset[str] | None = None
    deputies: Mapping[str, tuple[tuple[date, date, str], ...]] = field(default_factory=dict)
    areas: Mapping[str, Area] = field(default_factory=dict)
    walked: Mapping[tuple[str, str, str], str] = field(default_factory=dict)

    def here(self, person: Person, today: date) -> bool:
        """Whether somebody has access, can be written to, and has no day off."""
        off = self._off(person.name, today)
        return not person.gone and not off and (self.reached is None or person.name in self.reached)

    def asleep(self, name: str, today: date) -> bool:
        """Whether somebody has snoozed reminders beyond that day."""
        return name in self.snoozed and today < self.snoozed[name]

    def supervisors(self, site: str, today: date) -> list[Person]:
        """The supervisors of a site who are available, by name."""
        return self._of(Role.SUPERVISOR, site, today)

    def minder(self, door: DoorStatus, today: date) -> Person | None:
        """Who minds a door: whoever has its area; otherwise whoever checked it last, or has taken
        over that round; in their absence, their deputy or a supervisor; otherwise another caretaker
        of its site, or a supervisor. None if nobody is available.
        """
        caretakers = self._of(Role.CARETAKER, door.site, today)
        owner = next((name for name, area in self.areas.items() if area.covers(door)), None)
        usual = owner or self._now(door.by, door.checked)
        for person in caretakers:
            if person.name == usual:
                return person
        if usual is not None and (self._off(usual, today) or usual == owner):
            return self.stand_in(usual, door.site, today)
        # of several, whoever walks that floor, then whoever has the fewest other sites
        ground = self.walked.get((door.site, door.building, door.floor))
        own = sorted(
            caretakers, key=lambda each: (each.name != ground, len(each.sites) or 1000, each.name)
        )
        return next(iter((*own, *self.supervisors(door.site, today))), None)

    def stand_in(self, name: str, site: str, today: date) -> Person | None:
        """Who does somebody's work in their absence: their deputy, or the supervisor if there is
        none available.
        """
        for first, last, deputy in reversed(self.deputies.get(name, ())):
            if first <= today <= last and (found := self.named(deputy, today)):
                return found
        return next(iter(self.supervisors(site, today)), None)

    def holder(self, name: str | None, site: str, today: date) -> Person | None:
        """Who handles something assigned to somebody: they, or their stand-in."""
        if name is not None and self._off(name, today):
            return self.stand_in(name, site, today)
        return self.named(name, today)

    def sees_to(self, name: str, given_to: str | None, site: str, today: date) -> bool:
        """Whether somebody handles what is assigned to a person: themselves or as a stand-in."""
        holder = self.holder(given_to, site, today)
        return name == given_to or (holder is not None and holder.name == name)

    def looker(self, site: str, repaired_by: str, today: date) -> Person | None:
        """Who looks at a repair: a caretaker of the site other than the one who made it."""
        others = self._of(Role.CARETAKER, site, today)
        return next((each for each in others if each.name != repaired_by), None)

    def _off(self, name: str, today: date) -> bool:
        known = any(each.name == name and not each.gone for each in self.people)
        return known and any(first <= today <= last for first, last in self.away.get(name, ()))

    def named(self, name: str | None, today: date) -> Person | None:
        """Somebody by name, if available."""
        return next(
            (each for each in self.people if each.name == name and self.here(each, today)), None
        )

    def _of(self, role: Role, site: str, today: date) -> list[Person]:
        found = [
            each
            for each in self.people
            if each.role == role and each.knows(site) and self.here(each, today)
        ]
        return sorted(found, key=lambda each: each.name)

    def _now(self, name: str | None, since: date | None) -> str | None:
        for day, giver, taker in self.handed:
            if giver == name and (since is None or day >= since):
                name = taker
        return name
