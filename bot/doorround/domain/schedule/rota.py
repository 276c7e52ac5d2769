"""Who minds which door on a day: hand-overs, days off, snoozes, stand-ins. Pure; days are local."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from doorround.domain.people import Person, Role
from doorround.domain.schedule.due import DoorStatus


@dataclass(frozen=True)
class Area:
    """The ground that somebody walks: doors on one of the floors, in one of the buildings, of one
    of the uses; empty for any. All that is given must fit.
    """

    floors: tuple[str, ...] = ()
    buildings: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()

    def covers(self, door: DoorStatus) -> bool:
        """Whether a door lies in it. An empty area covers nothing."""
        given = ((self.floors, door.floor), (self.buildings, door.building), (self.uses, door.use))
        fits = all(not wanted or _among(has or "", wanted) for wanted, has in given)
        return fits and bool(self.floors or self.buildings or self.uses)


def _among(has: str, wanted: tuple[str, ...]) -> bool:
    return any(has.casefold() == each.casefold() for each in wanted)


@dataclass(frozen=True)
class Rota:
    """people: everybody known. away: days off of each, first and last. snoozed: until when somebody
    asked to be left alone. handed: rounds handed over, in order: day, giver, taker. reached: who
    can be written to; None: everybody. deputies: who stands in for each on some days off. areas:
    the ground that was given to each. walked: who checked last on each floor: site, building,
    floor.
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
        """Whether somebody is known still, can be written to, and has no day off."""
        off = self._off(person.name, today)
        return not person.gone and not off and (self.reached is None or person.name in self.reached)

    def asleep(self, name: str, today: date) -> bool:
        """Whether somebody asked to be left alone until a later day."""
        return name in self.snoozed and today < self.snoozed[name]

    def supervisors(self, site: str, today: date) -> list[Person]:
        """The supervisors of a site who are here, by name."""
        return self._of(Role.SUPERVISOR, site, today)

    def minder(self, door: DoorStatus, today: date) -> Person | None:
        """Who minds a door: whose area it lies in; else whoever checked it last, or has that round
        now; while they are away, their deputy or a supervisor; else another caretaker of its site,
        else a supervisor. None where nobody is here.
        """
        caretakers = self._of(Role.CARETAKER, door.site, today)
        owner = next((name for name, area in self.areas.items() if area.covers(door)), None)
        usual = owner or self._now(door.by, door.checked)
        for person in caretakers:
            if person.name == usual:
                return person
        if usual is not None and (self._off(usual, today) or usual == owner):
            return self.stand_in(usual, door.site, today)
        # of several, who walks that floor, then whoever has fewest sites beside this one
        ground = self.walked.get((door.site, door.building, door.floor))
        own = sorted(
            caretakers, key=lambda each: (each.name != ground, len(each.sites) or 1000, each.name)
        )
        return next(iter((*own, *self.supervisors(door.site, today))), None)

    def stand_in(self, name: str, site: str, today: date) -> Person | None:
        """Who does somebody's work while they are away: their deputy, or the supervisor where none
        is named or here.
        """
        for first, last, deputy in reversed(self.deputies.get(name, ())):
            if first <= today <= last and (found := self.named(deputy, today)):
                return found
        return next(iter(self.supervisors(site, today)), None)

    def holder(self, name: str | None, site: str, today: date) -> Person | None:
        """Who sees to what was given to somebody: they, or who stands in for them."""
        if name is not None and self._off(name, today):
            return self.stand_in(name, site, today)
        return self.named(name, today)

    def sees_to(self, name: str, given_to: str | None, site: str, today: date) -> bool:
        """Whether somebody sees to what was given to another, or to them."""
        holder = self.holder(given_to, site, today)
        return name == given_to or (holder is not None and holder.name == name)

    def looker(self, site: str, repaired_by: str, today: date) -> Person | None:
        """Who looks at a repair: a caretaker of the site other than who made it."""
        others = self._of(Role.CARETAKER, site, today)
        return next((each for each in others if each.name != repaired_by), None)

    def _off(self, name: str, today: date) -> bool:
        known = any(each.name == name and not each.gone for each in self.people)
        return known and any(first <= today <= last for first, last in self.away.get(name, ()))

    def named(self, name: str | None, today: date) -> Person | None:
        """Somebody by name, if here."""
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
