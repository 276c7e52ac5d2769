"""What a known person orders on a messenger, done: people, invites, roles, handing over, reading,
one's own data.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime

from doorround.channels.messenger.door_report import door_report, doors_called
from doorround.channels.messenger.results import Notification, Reply, StartCheck, still_asked, tell
from doorround.dialogue.command_menu import group_help, help_of, orders_of
from doorround.domain.check import Check, Prompt
from doorround.domain.invites import CODE_SIGNS, DAYS_OPEN, new_code
from doorround.domain.links import invite_payload, start_link
from doorround.domain.people import Person, Right, Role, number_in, role_named, same_name
from doorround.logbook.errors import LogbookError, StorageError
from doorround.logbook.handover import hand_over, open_check
from doorround.logbook.people import People
from doorround.logbook.read_aloud_prefs import read_aloud_to, set_read_aloud
from doorround.logbook.store import Logbook
from doorround.messages import replying
from doorround.messages.doors import door_line

MAX_TAPS = 8
"""People or sites that have a button each; of more, one is typed."""
SURE = "yes"


@dataclass(frozen=True)
class Commands:
    """bot_name: for links; "" for none. chance: random bytes, as secrets.token_bytes."""

    logbook: Logbook
    bot_name: str
    chance: Callable[[int], bytes]

    def obey(
        self, person: Person, word: str, rest: str, now: datetime, site: str | None = None
    ) -> Reply | StartCheck:
        """Carry out one order, if this person may give it. site: of the group it was given in.

        Raises StorageError; anything else that is wrong is told.
        """
        if word not in [each.word for each in orders_of(role_named(person.role))]:
            return tell(f"/{word} is nothing that you may order here. /help")
        if word == "door":
            return StartCheck(None)
        if word == "aloud":
            return self.read_aloud(person, person.name not in read_aloud_to(self.logbook), now)
        try:
            return self._obey(person, word, rest, now, site)
        except StorageError:
            raise
        except (LogbookError, ValueError) as error:
            return tell(str(error))

    def _obey(self, person: Person, word: str, rest: str, now: datetime, site: str | None) -> Reply:
        match word:
            case "people":
                return tell("\n".join(_described(each) for each in self._seen_by(person, site)))
            case "look":
                return self.look(person, rest)
            case "invite":
                return self._invite(person, rest, now)
            case "role":
                return self._role(person, rest, now, site)
            case "leave":
                return self._leave(person, rest, now)
            case "farewell":
                return self._farewell(person, rest, now, site)
            case "handover":
                return self._hand_over(person, rest, now)
            case "mydata":
                return Reply((Prompt(text="All that is kept of you."),), data_of=person.name)
            case "bind":
                return tell("Write that in the group that you want to bind: /bind SITE")
            case _:
                return tell(help_of(role_named(person.role)) if site is None else group_help(site))

    def read_aloud(self, person: Person, aloud: bool, now: datetime) -> Reply:
        """Have questions read aloud to a person from now on, or no more."""
        set_read_aloud(self.logbook, person.name, aloud, now)
        return tell(replying.READING if aloud else replying.NOT_READING)

    def look(self, person: Person, words: str) -> Reply:
        """What somebody who may read is told of a door by its number."""
        if not words:
            return tell("Which door? Send its number, such as 14, or scan its label.")
        doors = doors_called(self.logbook, person, words)
        if not doors:
            return tell(
                f"There is no door “{words[:40]}” that you may read of. Send a number, such as 14."
            )
        return tell(door_report(self.logbook, doors))

    def sites_of(self, person: Person) -> tuple[str, ...]:
        """The sites of the register that a person has to do with."""
        return tuple(
            dict.fromkeys(door.site for door in self.logbook.doors() if person.knows(door.site))
        )

    def site_named(self, person: Person, words: str) -> str:
        """A site of this person, whatever its capitals; the only one, where none is named.

        Raises ValueError.
        """
        sites = self.sites_of(person)
        if not words and len(sites) == 1:
            return sites[0]
        for site in sites:
            if words and site.casefold() == words.casefold():
                return site
        known = ", ".join(filter(None, sites)) or "no door has a site yet"
        raise ValueError(
            f"{f'“{words[:60]}” is none' if words else 'Say which'} of your sites: {known}."
        )

    def _invite(self, person: Person, rest: str, now: datetime) -> Reply:
        if not rest:
            return tell("Whom do you invite?", taps=tuple(f"/invite {role}" for role in Role))
        first, _, named = rest.partition(" ")
        role = role_named(first)
        sites = (self.site_named(person, named.strip()),) if named.strip() else person.sites
        code = new_code(self.chance(CODE_SIGNS))
        People(self.logbook).invite(code, role, sites, DAYS_OPEN, person.name, now)
        where = ", ".join(sites) or "every site"
        line = (
            f"For one {role}, {where}, within {DAYS_OPEN} days. Pass this on to that person alone:"
        )
        return Reply((Prompt(text=line),), pass_on=self._invitation(code))

    def _invitation(self, code: str) -> str:
        if not self.bot_name:
            return f"Your code for the bot that leads through door checks: {code}"
        link = start_link(self.bot_name, invite_payload(code))
        return f"Open this, or send the code to @{self.bot_name}:\n{link}\n{code}"

    def _role(self, person: Person, rest: str, now: datetime, site: str | None) -> Reply:
        first, _, named = rest.partition(" ")
        if not rest:
            return self._whom("Whose role?", "/role", self._others(person, site))
        # somebody may be called "supervisor Kim": who is named whole is meant, and no role is given
        if first.lower() not in list(Role) or self._called(rest):
            found = self._named(person, rest)
            roles = [role for role in Role if role != found.role]
            number = People(self.logbook).number(found.name)
            line = f"{_described(found)}. What is it to be?"
            taps, does = (
                [f"/role {role} {who}" for role in roles] for who in (found.name, f"#{number}")
            )
            return tell(line, taps=tuple(taps), does=tuple(does))
        if not named.strip():
            return tell(f"Write it with a name: /role {first.lower()} NAME")
        found = self._named(person, named.strip())
        changed = People(self.logbook).change_role(
            found.name, role_named(first), None, person.name, now
        )
        also = self._aside(changed.name, f"You are {changed.role} here now. /help", person)
        return tell(f"{changed.name} is {changed.role} now.", also=also)

    def _leave(self, person: Person, rest: str, now: datetime) -> Reply:
        if rest.lower() != SURE:
            check = open_check(self.logbook, person.name)
            first = f"Door {check.door.number} is not finished. " if check else ""
            return tell(
                f"{first}Leave? You can do nothing here then without a new invite.",
                taps=("/leave yes",),
            )
        People(self.logbook).leave(person.name, person.name, now)
        return Reply(
            (Prompt(text="You are no longer known here. What you entered stays."),), moved_on=True
        )

    def _farewell(self, person: Person, rest: str, now: datetime, site: str | None) -> Reply:
        if not rest:
            return self._whom("Who leaves?", "/farewell", self._others(person, site))
        # only with the number that was told with the question is it sure: anybody may be called
        # "Kim yes"
        first, _, more = rest.partition(" ")
        sure = number_in(first) is not None and more.strip().lower() == SURE
        found = self._named(person, first if sure else self._without_yes(rest))
        if not sure:
            number = People(self.logbook).number(found.name)
            line = f"Let {found.name} go? They can do nothing here then without a new invite."
            does = f"/farewell #{number} {SURE}"
            return tell(
                f"{line} Tap, or write: {does}", taps=(f"let {found.name} go",), does=(does,)
            )
        check = open_check(self.logbook, found.name)
        also = self._aside(
            found.name,
            "You are no longer known here. What you entered stays.",
            person,
            moved_on=True,
        )
        People(self.logbook).leave(found.name, person.name, now)
        left = f" Their check of door {check.door.number} is not finished." if check else ""
        return tell(
            f"{found.name} is no longer known here. What they entered stays.{left}", also=also
        )

    def _hand_over(self, person: Person, rest: str, now: datetime) -> Reply:
        if not rest:
            takers = [
                each for each in self._known() if each.name != person.name and each.may(Right.CHECK)
            ]
            return self._whom("Who takes your round?", "/handover", takers)
        taker = self._named(None, rest).name
        check, also = handed_over(self.logbook, person.name, taker, person.name, now)
        door = f", door {check.door.number} first" if check else ""
        return Reply((Prompt(text=f"{taker} has your round now{door}."),), also=also, moved_on=True)

    # ---- who is meant

    def _known(self) -> list[Person]:
        return [each for each in self.logbook.people() if not each.gone]

    def _seen_by(self, person: Person, site: str | None) -> list[Person]:
        """Everybody who has to do with the sites of this person; in a group, with its site."""
        sites = person.sites if site is None else (site,)
        return [
            each for each in self._known() if not sites or any(each.knows(one) for one in sites)
        ]

    def _others(self, person: Person, site: str | None) -> list[Person]:
        return [
            each
            for each in self._seen_by(person, site)
            if each.name != person.name and _within(person, each)
        ]

    def _without_yes(self, rest: str) -> str:
        """A name, where "yes" stands behind it and nobody is called so whole."""
        is_name = self._called(rest) or not rest.lower().endswith(f" {SURE}")
        return rest if is_name else rest[: -len(SURE)].strip()

    def _called(self, name: str) -> list[Person]:
        return [each for each in self._known() if same_name(each.name, name)]

    def _named(self, person: Person | None, name: str) -> Person:
        """Somebody known, by number or by name, whatever the name's capitals. Raises LogbookError,
        also where a supervisor of some sites means somebody who has to do with others, and where
        two are called so.
        """
        number = number_in(name)
        people = People(self.logbook)
        called = (
            self._called(name)
            if number is None
            else [each for each in [people.numbered(number)] if not each.gone]
        )
        if not called:
            raise LogbookError(f"Nobody called “{name[:60]}” is known here.")
        found = next((each for each in called if each.name == name), called[0])
        if len(called) > 1 and found.name != name:
            each = ", ".join(f"{one.name} is #{people.number(one.name)}" for one in called)
            raise LogbookError(
                f"{len(called)} are called so: {each}. Write the number instead of the name."
            )
        if person is not None and not _within(person, found):
            raise LogbookError(f"{found.name} has to do with other sites than yours.")
        return found

    def _whom(self, question: str, order: str, people: list[Person]) -> Reply:
        if not people:
            return tell("There is nobody else.")
        if len(people) > MAX_TAPS:
            return tell(f"{question} Write the name too: {order} {people[0].name}")
        numbers = [People(self.logbook).number(each.name) for each in people]
        taps = (f"{order} {each.name}" for each in people)
        does = (f"{order} #{number}" for number in numbers)
        return tell(question, taps=tuple(taps), does=tuple(does))

    def _aside(
        self, name: str, line: str, by: Person, moved_on: bool = False
    ) -> tuple[Notification, ...]:
        """A line for somebody else, where they are reached on a messenger."""
        accounts = People(self.logbook).accounts(name)[:1] if name != by.name else []
        return tuple(Notification(account, (Prompt(text=line),), moved_on) for account in accounts)


def handed_over(
    logbook: Logbook, giver: str, taker: str, by: str, now: datetime
) -> tuple[Check | None, tuple[Notification, ...]]:
    """Hand a round over, as hand_over(), and what others are told: the taker which door and the
    open question; the giver, where somebody else did it, who has it.
    """
    people = People(logbook)
    before = people.person(taker).sites
    check = hand_over(logbook, giver, taker, by, now)
    asked = (
        (Prompt(text=door_line(check.door, logbook.several_sites())), *still_asked(check))
        if check
        else ()
    )
    said = (Prompt(text=f"The round of {giver} is yours now."), *asked)
    gone = (Prompt(text=f"{taker} has your round now."),) if by != giver else ()
    also = [Notification(each, said, moved_on=True) for each in people.accounts(taker)[:1]]
    also += [Notification(each, gone, moved_on=True) for each in people.accounts(giver)[:1] if gone]
    if people.person(taker).sites != before:
        also += _wider(logbook, giver, people.person(taker), by)
    return check, tuple(also)


def _wider(logbook: Logbook, giver: str, taker: Person, by: str) -> list[Notification]:
    """What supervisors are told where somebody has to do with more sites than before."""
    where = ", ".join(taker.sites) or "every site"
    line = Prompt(
        text=f"{taker.name} took over the round of {giver} and has to do with {where} now."
    )
    bosses = [
        each.name for each in logbook.people() if any(map(each.supervises, taker.sites or ("",)))
    ]
    accounts = [
        People(logbook).accounts(name)[:1] for name in bosses if name not in (giver, taker.name, by)
    ]
    return [Notification(account, (line,)) for each in accounts for account in each]


def _within(person: Person, other: Person) -> bool:
    return not person.sites or bool(other.sites and all(person.knows(site) for site in other.sites))


def _described(person: Person) -> str:
    return f"{person.name}: {', '.join((person.role, *person.sites))}"
