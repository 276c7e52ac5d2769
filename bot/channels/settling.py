"""Defects given to somebody and said to be made good, in the chat; and what one person has to do."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from bot.channels.told import Aside, Told, tell
from bot.domain.asked import Asked
from bot.domain.check import Prompt
from bot.domain.defects import DeedKind, Defect, State, by_urgency
from bot.domain.people import Person, Right, number_in, same_name
from bot.domain.schedule.nudges import count
from bot.logbook.defects import Defects, act
from bot.logbook.people import People
from bot.logbook.reminded import crew_of
from bot.logbook.store import Logbook

MOST_TAKERS = 3
MOST_NAMED = 12
NOT_YOURS = "Only its supervisors, or whoever has it, may do that."


@dataclass(frozen=True)
class Settling:
    """found: the defects of the sites of who asks."""

    logbook: Logbook
    found: Defects

    def taps(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """Buttons of a defect, for who may settle it."""
        if defect.state is not State.OPEN or not self._may(person, defect):
            return ()
        give = tuple(f"give defect {defect.id} to {each.name}" for each in self._offered(person, defect))
        return (*give, f"defect {defect.id} made good")

    def does(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """What these buttons order: to whom, by number."""
        taps, number = self.taps(person, defect), People(self.logbook).number
        give = tuple(f"give defect {defect.id} to #{number(each.name)}" for each in self._offered(person, defect))
        return (*give, *taps[len(give) :]) if taps else ()

    def _offered(self, person: Person, defect: Defect) -> list[Person]:
        takers = [each for each in self._takers(defect) if each.name != defect.given_to]
        return takers[:MOST_TAKERS] if _leads(person) else []

    def give(self, person: Person, asked: Asked, now: datetime) -> Told:
        """Give a defect to somebody of its site, and tell them. Raises LogbookError."""
        defect = self.found.all.get(int(asked.number))
        if defect is None or not _leads(person):
            return tell(NOT_YOURS)
        taker = next((each for each in self._takers(defect) if self._is(each, asked.name)), None)
        if taker is None:
            return tell(f"Nobody called “{asked.name[:60]}” checks doors on that site.")
        act(self.logbook, defect, DeedKind.ASSIGNED, person.name, now, to=taker.name)
        accounts = People(self.logbook).accounts(taker.name)[:1] if taker.name != person.name else []
        by = f", by {defect.due.day} {defect.due:%B}" if defect.due else ""
        line = Prompt(text=f"{person.name} gave you defect {defect.id}: door {defect.door[2]}, {defect.what}{by}.")
        also = tuple(Aside(account, (line,)) for account in accounts)
        return tell(f"{taker.name} has defect {defect.id} now{by}.", also=also)

    def mended(self, person: Person, asked: Asked, now: datetime) -> Told:
        """Enter that a defect was made good, once that was said twice. Raises LogbookError."""
        defect = self.found.all.get(int(asked.number))
        if defect is None or not self._may(person, defect):
            return tell(NOT_YOURS)
        if defect.state is not State.OPEN:
            return tell(f"Defect {defect.id} is {defect.state} already.")
        if not asked.sure:
            line = f"Door {defect.door[2]}, {defect.what}: is it put right? The next check looks again."
            return tell(line, taps=(f"defect {defect.id} made good yes",))
        act(self.logbook, defect, DeedKind.MADE_GOOD, person.name, now, "said in the chat")
        return tell(f"Defect {defect.id} is said to be made good. It closes when a check finds it so.")

    def named(self, asked: str) -> Person | None:
        """Who is meant, by name or by number; None where nobody is."""
        return next((each for each in self.logbook.people() if self._is(each, asked) and not each.gone), None)

    def person(self, known: Person, late: list[str], today: date) -> Told:
        """What somebody has to do. late: numbers of the doors that they mind and that are overdue."""
        crew = crew_of(self.logbook)
        mine = by_urgency(each for each in self.found.open if each.given_to == known.name)
        lines = [f"{known.name}: {known.role}."]
        lines += [] if crew.here(known, today) else ["Has a day off."]
        lines += [f"Left alone until {crew.snoozed[known.name].isoformat()}."] if crew.asleep(known.name, today) else []
        more = " …" if len(late) > MOST_NAMED else ""
        lines += [f"{count(len(late), 'door')} overdue: {', '.join(late[:MOST_NAMED])}{more}."] if late else []
        lines += [f"Has defect {each.id}, door {each.door[2]}: {each.what}." for each in mine[:MOST_NAMED]]
        lines += ["Nothing is waiting for them."] if not late and not mine else []
        return tell("\n".join(lines), taps=tuple(f"defect {each.id}" for each in mine[:MOST_TAKERS]))

    def _is(self, person: Person, asked: str) -> bool:
        """Whether somebody is meant, by name or by number."""
        number = number_in(asked)
        return same_name(person.name, asked) if number is None else People(self.logbook).number(person.name) == number

    def _may(self, person: Person, defect: Defect) -> bool:
        return _leads(person) or (person.may(Right.CHECK) and person.name == defect.given_to)

    def _takers(self, defect: Defect) -> list[Person]:
        """Who may have a defect: whoever checks doors on its site, caretakers first."""
        able = [each for each in self.logbook.people() if each.may(Right.CHECK) and each.knows(defect.door[0])]
        return sorted(able, key=lambda each: (_leads(each), each.name))


def _leads(person: Person) -> bool:
    return person.may(Right.CHANGE_PEOPLE)
