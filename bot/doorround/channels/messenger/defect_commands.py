"""Defects given to somebody and said to be made good, in the chat; and what one person has to
do.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from doorround.channels.messenger.results import Notification, Reply, tell
from doorround.domain.check import Prompt
from doorround.domain.defects import DeedKind, Defect, State, by_urgency
from doorround.domain.people import Person, Right, number_in, same_name
from doorround.domain.query import Query, QueryKind
from doorround.domain.repairs import refusal, tells_what
from doorround.logbook.defects import Defects, act
from doorround.logbook.people import People
from doorround.logbook.photos import photo_by_itself
from doorround.logbook.reminder_log import rota_of
from doorround.logbook.store import Logbook
from doorround.messages.phrasing import counted

MAX_TAKERS = 3
MAX_NAMED = 12
NOT_YOURS = "Only its supervisors, or whoever has it, may do that."
DONE = ("adjusted", "tightened", "part replaced", "cleared away")
NO_PHOTO = ("a photo shows nothing of it", "no photos may be taken here")
REOPENED = ("it is not put right", "the wrong defect was closed")
LOOK_FIRST = "The door stays out of action until a check, or somebody else, has looked."
PHOTO_WITHIN = timedelta(minutes=30)
"""A photo that was sent by itself so long before shows what was made good."""
_WITHOUT = re.compile(r"[;,.]?\s*\bno photo\b[:,]?\s*(?:because\s+)?", re.I)


@dataclass(frozen=True)
class DefectCommands:
    """found: the defects of the sites of who asks."""

    logbook: Logbook
    found: Defects

    def taps(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """Buttons of a defect, for who may settle it."""
        id = defect.id
        if defect.state is not State.OPEN:
            look = (f"defect {id} looked at",) if self._may_look(person, defect) else ()
            return (*look, f"reopen defect {id}") if self._may_reopen(person, defect) else look
        if not self._may(person, defect):
            return ()
        give = tuple(f"give defect {id} to {each.name}" for each in self._offered(person, defect))
        return (*give, f"defect {id} made good")

    def settle(self, person: Person, asked: Query, now: datetime) -> Reply:
        """Do what was asked of a defect, or of the clock. Raises LogbookError."""
        if asked.what is QueryKind.CLOCK:
            return self.clock(person, now)
        defect = self.found.all.get(int(asked.number))
        if defect is None:
            return self.unknown(int(asked.number))
        match asked.what:
            case QueryKind.GIVE:
                return self.give(person, asked, now)
            case QueryKind.LOOKED:
                return self.looked(person, defect, asked, now)
            case QueryKind.REOPEN:
                return self.reopen(person, defect, asked, now)
        return self.mended(person, defect, asked, now)

    def clock(self, person: Person, now: datetime) -> Reply:
        """Have the times of a clock in doubt count."""
        if not _leads(person):
            return tell(NOT_YOURS)
        if not self.logbook.trust_clock(person.name, now):
            return tell("The clock is not in doubt.")
        return tell(
            "Entered. What was signed by it counts now; what was signed ahead of it counts no more."
        )

    def unknown(self, id: int) -> Reply:
        """What became of a number that is no defect."""
        gone = self.found.gone.get(id)
        if gone is None:
            return tell(f"There is no defect {id} on your sites.")
        return tell(
            f"Defect {id}, door {gone.door[2]}, {gone.what}: {gone.ended_by}. Nothing is to be"
            " done."
        )

    def does(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """What these buttons order: to whom, by number."""
        if defect.state is not State.OPEN:
            return self.taps(person, defect)
        taps = self.taps(person, defect)
        number = People(self.logbook).number
        give = tuple(
            f"give defect {defect.id} to #{number(each.name)}"
            for each in self._offered(person, defect)
        )
        return (*give, *taps[len(give) :]) if taps else ()

    def _offered(self, person: Person, defect: Defect) -> list[Person]:
        takers = [each for each in self._takers(defect) if each.name != defect.given_to]
        return takers[:MAX_TAKERS] if _leads(person) else []

    def give(self, person: Person, asked: Query, now: datetime) -> Reply:
        """Give a defect to somebody of its site, and tell them. Raises LogbookError."""
        defect = self.found.all.get(int(asked.number))
        if defect is None or not _leads(person):
            return tell(NOT_YOURS)
        taker = next((each for each in self._takers(defect) if self._is(each, asked.name)), None)
        if taker is None:
            return tell(f"Nobody called “{asked.name[:60]}” checks doors on that site.")
        act(self.logbook, defect, DeedKind.ASSIGNED, person.name, now, to=taker.name)
        accounts = (
            People(self.logbook).accounts(taker.name)[:1] if taker.name != person.name else []
        )
        by = f", by {defect.due.day} {defect.due:%B}" if defect.due else ""
        line = Prompt(
            text=(
                f"{person.name} gave you defect {defect.id}: door {defect.door[2]},"
                f" {defect.what}{by}."
            )
        )
        also = tuple(Notification(account, (line,)) for account in accounts)
        return tell(f"{taker.name} has defect {defect.id} now{by}.", also=also)

    def mended(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Enter that a defect was made good, once it was said what was done, and shown.

        Raises LogbookError.
        """
        if not self._may(person, defect):
            return tell(NOT_YOURS)
        if defect.state is not State.OPEN:
            return tell(f"Defect {defect.id} is {defect.state} already.")
        done, no_photo = _done_and_why_no_photo(asked.text)
        made_good = f"defect {defect.id} made good: "
        about = f"Door {defect.door[2]}, {defect.what}"
        if not tells_what(done):
            line = f"{about}: what was done? Tap, or type “{made_good}…” with your own words."
            return tell(line, taps=tuple(f"{made_good}{each}" for each in DONE))
        photo = photo_by_itself(self.logbook, person.name, now - PHOTO_WITHIN)
        if photo is None and not no_photo:
            line = (
                "A photo of it? Send it here, then tap the first button. Or tap why there is none."
            )
            return tell(
                line,
                taps=(
                    f"{made_good}{done}",
                    *(f"{made_good}{done}; no photo: {why}" for why in NO_PHOTO),
                ),
            )
        act(
            self.logbook,
            defect,
            DeedKind.MADE_GOOD,
            person.name,
            now,
            done,
            evidence=photo,
            no_photo=no_photo,
        )
        shown = " Your last photo goes with it." if photo else ""
        left = LOOK_FIRST if defect.out_of_action else "It closes when a check finds it so."
        return tell(
            f"Defect {defect.id} is said to be made good.{shown} {left}",
            taps=(f"reopen defect {defect.id}",),
        )

    def looked(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Enter that somebody else looked at a repair, once that was said twice.

        Raises LogbookError.
        """
        why_not = refusal(defect, DeedKind.LOOKED_AT, person.name)
        if why_not or not person.may(Right.CHECK):
            return tell(why_not or NOT_YOURS)
        if not asked.sure:
            line = (
                f"Door {defect.door[2]}, {defect.what}: did you see at the door that it is put"
                " right?"
            )
            return tell(line, taps=(f"defect {defect.id} looked at yes",))
        act(self.logbook, defect, DeedKind.LOOKED_AT, person.name, now)
        return tell(f"Defect {defect.id} is closed: {defect.ended_by} made it good, you looked.")

    def reopen(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Take a close back, once it was said why. Raises LogbookError."""
        if not self._may_reopen(person, defect):
            return tell(NOT_YOURS)
        if defect.state is not State.OPEN and not asked.text:
            line = (
                f"Door {defect.door[2]}, {defect.what}: why is it opened again? Tap, or type it"
                " behind a colon."
            )
            return tell(line, taps=tuple(f"reopen defect {defect.id}: {why}" for why in REOPENED))
        act(self.logbook, defect, DeedKind.REOPENED, person.name, now, asked.text)
        return tell(f"Defect {defect.id} is open again.", taps=(f"defect {defect.id}",))

    def named(self, asked: str) -> Person | None:
        """Who is meant, by name or by number; None where nobody is."""
        return next(
            (each for each in self.logbook.people() if self._is(each, asked) and not each.gone),
            None,
        )

    def person(self, known: Person, late: list[str], today: date) -> Reply:
        """What somebody has to do. late: numbers of the doors that they mind and that are
        overdue.
        """
        crew = rota_of(self.logbook)
        mine = by_urgency(each for each in self.found.open if each.given_to == known.name)
        lines = [f"{known.name}: {known.role}."]
        lines += [] if crew.here(known, today) else ["Has a day off."]
        lines += (
            [f"Left alone until {crew.snoozed[known.name].isoformat()}."]
            if crew.asleep(known.name, today)
            else []
        )
        more = " …" if len(late) > MAX_NAMED else ""
        lines += (
            [f"{counted(len(late), 'door')} overdue: {', '.join(late[:MAX_NAMED])}{more}."]
            if late
            else []
        )
        lines += [
            f"Has defect {each.id}, door {each.door[2]}: {each.what}." for each in mine[:MAX_NAMED]
        ]
        lines += ["Nothing is waiting for them."] if not late and not mine else []
        return tell("\n".join(lines), taps=tuple(f"defect {each.id}" for each in mine[:MAX_TAKERS]))

    def _is(self, person: Person, asked: str) -> bool:
        """Whether somebody is meant, by name or by number."""
        number = number_in(asked)
        return (
            same_name(person.name, asked)
            if number is None
            else People(self.logbook).number(person.name) == number
        )

    def _may(self, person: Person, defect: Defect) -> bool:
        return _leads(person) or (person.may(Right.CHECK) and person.name == defect.given_to)

    def _may_look(self, person: Person, defect: Defect) -> bool:
        return person.may(Right.CHECK) and refusal(defect, DeedKind.LOOKED_AT, person.name) is None

    def _may_reopen(self, person: Person, defect: Defect) -> bool:
        return self._may(person, defect) or person.name == defect.ended_by

    def _takers(self, defect: Defect) -> list[Person]:
        """Who may have a defect: whoever checks doors on its site, caretakers first."""
        able = [
            each
            for each in self.logbook.people()
            if each.may(Right.CHECK) and each.knows(defect.door[0])
        ]
        return sorted(able, key=lambda each: (_leads(each), each.name))


def _leads(person: Person) -> bool:
    return person.may(Right.CHANGE_PEOPLE)


def _done_and_why_no_photo(text: str) -> tuple[str, str]:
    """ "latch eased; no photo: too dark" → what was done, and why nothing shows it."""
    done, *why = _WITHOUT.split(text, maxsplit=1)
    return done.strip(" ;,."), (why[0] if why else "").strip(" ;,.")
