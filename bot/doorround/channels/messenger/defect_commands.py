"""Chat commands to assign defects and report repairs; and one person's list of work."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from doorround.channels.messenger.results import Notification, Reply, tell
from doorround.channels.messenger.word_judging import KeepWords, WordJudging
from doorround.domain.check import Prompt
from doorround.domain.defects import DeedKind, Defect, State, by_urgency
from doorround.domain.people import Person, Right, number_in, same_name
from doorround.domain.query import JUDGES, Query, QueryKind
from doorround.domain.repairs import doer, refusal, tells_what
from doorround.logbook.defect_deeds import act, give_defect
from doorround.logbook.defects import Defects
from doorround.logbook.people import People
from doorround.logbook.photos import photo_by_itself
from doorround.logbook.rota import rota_of
from doorround.logbook.store import Logbook
from doorround.messages import buttons
from doorround.messages import defects as texts

MAX_TAKERS = 3
MAX_NAMED = 12

PHOTO_WITHIN = timedelta(minutes=30)
"""Maximum age of a photo sent on its own that counts as showing the repair."""
_WITHOUT = re.compile(r"[;,.]?\s*\bno photo\b[:,]?\s*(?:because\s+)?", re.I)


@dataclass(frozen=True)
class DefectCommands:
    """found: defects of the asker's sites. keep_words: see WordJudging. today: local; determines
    stand-ins.
    """

    logbook: Logbook
    found: Defects
    keep_words: KeepWords | None = None
    today: date | None = None

    def taps(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """Buttons for a defect, for somebody who may settle it."""
        id = defect.id
        if defect.state is not State.OPEN:
            look = (buttons.look_at(id),) if self._may_look(person, defect) else ()
            return (*look, buttons.reopen(id)) if self._may_reopen(person, defect) else look
        if not self._may(person, defect):
            return ()
        give = tuple(buttons.give(id, each.name) for each in self._offered(person, defect))
        return (*self._judging.taps(person, defect), *give, buttons.made_good(id))

    @property
    def _judging(self) -> WordJudging:
        return WordJudging(self.logbook, self.keep_words)

    def settle(self, person: Person, asked: Query, now: datetime) -> Reply:
        """Run a command on a defect or the clock. Raises LogbookError."""
        if asked.what is QueryKind.CLOCK:
            return self.clock(person, now)
        defect = self.found.all.get(int(asked.number))
        if defect is None:
            return self.unknown(int(asked.number))
        if asked.what in JUDGES:
            return self._judging.settle(person, defect, asked, now)
        match asked.what:
            case QueryKind.GIVE:
                return self.give(person, asked, now)
            case QueryKind.LOOKED:
                return self.looked(person, defect, asked, now)
            case QueryKind.REOPEN:
                return self.reopen(person, defect, asked, now)
        return self.mended(person, defect, asked, now)

    def clock(self, person: Person, now: datetime) -> Reply:
        """Accept the times entered while the clock was in doubt."""
        if not _leads(person):
            return tell(texts.NOT_YOURS)
        if not self.logbook.trust_clock(person.name, now):
            return tell(texts.CLOCK_NOT_IN_DOUBT)
        return tell(texts.CLOCK_TRUSTED)

    def unknown(self, id: int) -> Reply:
        """What became of a number that is not a defect's."""
        gone = self.found.gone.get(id)
        if gone is None:
            return tell(texts.no_such_defect(id))
        return tell(texts.gone(id, gone.door[2], gone.what, gone.ended_by))

    def does(self, person: Person, defect: Defect) -> tuple[str, ...]:
        """Commands behind these buttons: the assignee, by number."""
        if defect.state is not State.OPEN:
            return self.taps(person, defect)
        taps = self.taps(person, defect)
        number = People(self.logbook).number
        give = tuple(
            buttons.give(defect.id, f"#{number(each.name)}")
            for each in self._offered(person, defect)
        )
        judging = self._judging.taps(person, defect)
        return (*judging, *give, *taps[len(judging) + len(give) :]) if taps else ()

    def _offered(self, person: Person, defect: Defect) -> list[Person]:
        takers = [each for each in self._takers(defect) if each.name != defect.given_to]
        return takers[:MAX_TAKERS] if _leads(person) else []

    def give(self, person: Person, asked: Query, now: datetime) -> Reply:
        """Assign a defect to somebody of its site, and notify them. Raises LogbookError."""
        defect = self.found.all.get(int(asked.number))
        if defect is None or not _leads(person):
            return tell(texts.NOT_YOURS)
        if not asked.name:
            return self._whom(person, defect)
        taker = next(
            (each.name for each in self._takers(defect) if self._is(each, asked.name)), None
        )
        taker = taker or self._outsider(asked.name)
        if taker is None:
            return tell(texts.checks_no_doors(asked.name))
        give_defect(self.logbook, defect, taker, person.name, now, asked.until, asked.text)
        accounts = People(self.logbook).accounts(taker)[:1] if taker != person.name else []
        line = Prompt(text=texts.given_to_you(defect, person.name, asked.until))
        also = tuple(Notification(account, (line,)) for account in accounts)
        return tell(texts.given(defect, taker, asked.until), also=also)

    def _outsider(self, asked: str) -> str | None:
        """An outsider, "firm: name"; contractors cannot be assignees by bare name."""
        return doer(asked, [each.name for each in self.logbook.people()]) if ":" in asked else None

    def _whom(self, person: Person, defect: Defect) -> Reply:
        """Ask who to assign a defect to, with a button for each candidate."""
        takers = [each for each in self._takers(defect) if each.name != defect.given_to]
        number = People(self.logbook).number
        taps = tuple(buttons.give(defect.id, each.name) for each in takers[:MAX_NAMED])
        does = (buttons.give(defect.id, f"#{number(each.name)}") for each in takers[:MAX_NAMED])
        return tell(texts.give_to_whom(defect), taps=taps, does=tuple(does))

    def mended(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Enter that a defect was made good, once it has been said and shown what was done.

        Raises LogbookError.
        """
        if not self._may(person, defect):
            return tell(texts.NOT_YOURS)
        if defect.state is not State.OPEN:
            return tell(texts.already(defect))
        done, no_photo = _done_and_why_no_photo(asked.text)
        made_good = f"{buttons.made_good(defect.id)}: "
        if not tells_what(done):
            taps = tuple(f"{made_good}{each}" for each in texts.DONE)
            return tell(texts.what_was_done(defect, made_good), taps=taps)
        photo = photo_by_itself(self.logbook, person.name, now - PHOTO_WITHIN)
        if photo is None and not no_photo:
            said = f"{made_good}{done}"
            without = (buttons.no_photo(said, why) for why in texts.NO_PHOTO)
            return tell(texts.PHOTO_OR_WHY, taps=(said, *without))
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
        line = texts.made_good(defect, photo is not None)
        also = self._to_giver(person, defect, done)
        return tell(line, taps=(buttons.reopen(defect.id),), also=also)

    def _to_giver(self, person: Person, defect: Defect, done: str) -> tuple[Notification, ...]:
        """Notify whoever last assigned the defect that it is reported as made good."""
        givers = [deed.person for deed in defect.deeds if deed.kind is DeedKind.ASSIGNED][-1:]
        line = Prompt(text=texts.made_good_by(defect, person.name, done))
        accounts = [
            account
            for giver in givers
            if giver != person.name
            for account in People(self.logbook).accounts(giver)[:1]
        ]
        return tuple(Notification(account, (line,)) for account in accounts)

    def looked(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Enter that somebody looked at a repair, once confirmed a second time.

        Raises LogbookError.
        """
        why_not = refusal(defect, DeedKind.LOOKED_AT, person.name)
        if why_not is not None:
            return tell(texts.refused(why_not, defect, person.name))
        if not person.may(Right.CHECK):
            return tell(texts.NOT_YOURS)
        if not asked.sure:
            line = texts.did_you_look(defect)
            return tell(line, taps=(f"{buttons.looked_at(defect.id)} yes",))
        act(self.logbook, defect, DeedKind.LOOKED_AT, person.name, now)
        same = same_name(person.name, defect.ended_by)
        return tell(texts.closed_by_same(defect) if same else texts.closed(defect))

    def reopen(self, person: Person, defect: Defect, asked: Query, now: datetime) -> Reply:
        """Undo a closure, once a reason has been given. Raises LogbookError."""
        if not self._may_reopen(person, defect):
            return tell(texts.NOT_YOURS)
        if defect.state is not State.OPEN and not asked.text:
            why = (f"{buttons.reopen(defect.id)}: {why}" for why in texts.REOPENED)
            return tell(texts.why_reopened(defect), taps=tuple(why))
        act(self.logbook, defect, DeedKind.REOPENED, person.name, now, asked.text)
        return tell(texts.reopened(defect), taps=(buttons.defect(defect.id),))

    def named(self, asked: str) -> Person | None:
        """The person referred to, by name or number; None if nobody is."""
        return next(
            (each for each in self.logbook.people() if self._is(each, asked) and not each.gone),
            None,
        )

    def person(self, known: Person, late: list[str], today: date) -> Reply:
        """Somebody's list of work. late: numbers of the overdue doors they mind."""
        rota = rota_of(self.logbook)
        mine = by_urgency(each for each in self.found.open if each.given_to == known.name)
        lines = [texts.person_head(known)]
        lines += [] if rota.here(known, today) else [texts.DAY_OFF]
        asleep = rota.asleep(known.name, today)
        lines += [texts.left_alone(rota.snoozed[known.name])] if asleep else []
        more = len(late) > MAX_NAMED
        lines += [texts.overdue(len(late), late[:MAX_NAMED], more)] if late else []
        lines += [texts.has_defect(each) for each in mine[:MAX_NAMED]]
        lines += [texts.NOTHING_WAITING] if not late and not mine else []
        taps = tuple(buttons.defect(each.id) for each in mine[:MAX_TAKERS])
        return tell("\n".join(lines), taps=taps)

    def _is(self, person: Person, asked: str) -> bool:
        """Whether somebody is referred to, by name or number."""
        number = number_in(asked)
        return (
            same_name(person.name, asked)
            if number is None
            else People(self.logbook).number(person.name) == number
        )

    def _may(self, person: Person, defect: Defect) -> bool:
        return _leads(person) or (person.may(Right.CHECK) and self._sees_to(person, defect))

    def _sees_to(self, person: Person, defect: Defect) -> bool:
        """Whether a defect is assigned to somebody, or they stand in for its assignee."""
        if self.today is None or person.name == defect.given_to:
            return person.name == defect.given_to
        rota = rota_of(self.logbook)
        return rota.sees_to(person.name, defect.given_to, defect.door[0], self.today)

    def _may_look(self, person: Person, defect: Defect) -> bool:
        return person.may(Right.CHECK) and refusal(defect, DeedKind.LOOKED_AT, person.name) is None

    def _may_reopen(self, person: Person, defect: Defect) -> bool:
        return self._may(person, defect) or person.name == defect.ended_by

    def _takers(self, defect: Defect) -> list[Person]:
        """Possible assignees of a defect: whoever checks doors on its site, caretakers first."""
        able = [
            each
            for each in self.logbook.people()
            if each.may(Right.CHECK) and each.knows(defect.door[0])
        ]
        return sorted(able, key=lambda each: (_leads(each), each.name))


def _leads(person: Person) -> bool:
    return person.may(Right.CHANGE_PEOPLE)


def _done_and_why_no_photo(text: str) -> tuple[str, str]:
    """ "latch eased; no photo: too dark" → what was done, and why there is no photo."""
    done, *why = _WITHOUT.split(text, maxsplit=1)
    return done.strip(" ;,."), (why[0] if why else "").strip(" ;,.")
