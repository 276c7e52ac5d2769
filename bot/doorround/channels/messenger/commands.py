"""Runs a known person's commands on a messenger: people, invites, roles, hand-over, read-aloud,
personal data.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime

from doorround.channels.messenger.door_report import door_photos, door_report, doors_called
from doorround.channels.messenger.results import Notification, Reply, StartCheck, tell
from doorround.channels.messenger.round_handover import handed_over
from doorround.dialogue.command_menu import group_help, help_of, orders_of
from doorround.domain.check import Prompt
from doorround.domain.invites import CODE_SIGNS, DAYS_OPEN, new_code
from doorround.domain.links import invite_payload, start_link
from doorround.domain.people import INVITED, Person, Right, Role, number_in, role_named, same_name
from doorround.logbook.errors import LogbookError, StorageError
from doorround.logbook.handover import open_check
from doorround.logbook.people import People
from doorround.logbook.read_aloud_prefs import read_aloud_to, set_read_aloud
from doorround.logbook.store import Logbook
from doorround.messages import buttons, query_answers, replying
from doorround.messages import people as texts

MAX_TAPS = 8
"""Maximum number of people or sites shown as buttons; beyond that, names are typed."""
SURE = "yes"


@dataclass(frozen=True)
class Commands:
    """bot_name: for links; "" if there is none. chance: random bytes, as secrets.token_bytes."""

    logbook: Logbook
    bot_name: str
    chance: Callable[[int], bytes]

    def obey(
        self, person: Person, word: str, rest: str, now: datetime, site: str | None = None
    ) -> Reply | StartCheck:
        """Run one command, if this person is permitted. site: of the group it was given in.

        Raises StorageError; any other problem is reported in the reply.
        """
        if word not in [each.word for each in orders_of(role_named(person.role))]:
            return tell(texts.no_such_command(word))
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
                return tell("\n".join(map(texts.described, self._seen_by(person, site))))
            case "look":
                return self.look(person, rest)
            case "invite":
                return self._invite(person, rest, now)
            case "role":
                return self._role(person, rest, now, site)
            case "leave":
                return self._leave(person, rest, now)
            case "remove":
                return self._remove(person, rest, now, site)
            case "handover":
                return self._hand_over(person, rest, now)
            case "mydata":
                return Reply((Prompt(text=texts.OWN_DATA),), data_of=person.name)
            case "bind":
                return tell(texts.BIND_IN_GROUP)
            case _:
                return tell(help_of(role_named(person.role)) if site is None else group_help(site))

    def read_aloud(self, person: Person, aloud: bool, now: datetime) -> Reply:
        """Turn reading aloud on or off for a person."""
        set_read_aloud(self.logbook, person.name, aloud, now)
        return tell(replying.READING if aloud else replying.NOT_READING)

    def look(self, person: Person, words: str) -> Reply:
        """Report on a door by its number, for somebody allowed to read."""
        if not words:
            return tell(query_answers.WHICH_DOOR)
        doors = doors_called(self.logbook, person, words)
        if not doors:
            return tell(query_answers.no_door_to_read(words))
        reply = tell(door_report(self.logbook, doors), taps=(buttons.answers_of(doors[0].number),))
        return replace(reply, say=(*door_photos(self.logbook, doors), *reply.say))

    def sites_of(self, person: Person) -> tuple[str, ...]:
        """The sites of the register within a person's scope."""
        return tuple(
            dict.fromkeys(door.site for door in self.logbook.doors() if person.knows(door.site))
        )

    def site_named(self, person: Person, words: str) -> str:
        """A site of this person, ignoring case; the only one if none is named.

        Raises ValueError.
        """
        sites = self.sites_of(person)
        if not words and len(sites) == 1:
            return sites[0]
        for site in sites:
            if words and site.casefold() == words.casefold():
                return site
        raise ValueError(texts.not_your_site(words, sites))

    def _invite(self, person: Person, rest: str, now: datetime) -> Reply:
        if not rest:
            does = tuple(f"/invite {role}" for role in INVITED)
            return tell(texts.WHO_IS_INVITED, taps=tuple(INVITED), does=does)
        first, _, named = rest.partition(" ")
        role = role_named(first)
        sites = (self.site_named(person, named.strip()),) if named.strip() else person.sites
        code = new_code(self.chance(CODE_SIGNS))
        People(self.logbook).invite(code, role, sites, DAYS_OPEN, person.name, now)
        line = texts.invite_made(role, sites)
        return Reply((Prompt(text=line),), pass_on=self._invitation(code))

    def _invitation(self, code: str) -> str:
        link = start_link(self.bot_name, invite_payload(code)) if self.bot_name else ""
        return texts.invitation(code, self.bot_name, link)

    def _role(self, person: Person, rest: str, now: datetime, site: str | None) -> Reply:
        first, _, named = rest.partition(" ")
        if not rest:
            return self._whom(texts.WHOSE_ROLE, "/role", self._others(person, site))
        # somebody may be called "supervisor Kim": a full match of the name wins, and no role is
        # given
        if first.lower() not in list(Role) or self._called(rest):
            found = self._named(person, rest)
            roles = [role for role in INVITED if role != found.role]
            number = People(self.logbook).number(found.name)
            line = texts.which_role(found)
            does = tuple(f"/role {role} #{number}" for role in roles)
            return tell(line, taps=tuple(roles), does=does)
        if not named.strip():
            return tell(texts.role_needs_name(first.lower()))
        found = self._named(person, named.strip())
        changed = People(self.logbook).change_role(
            found.name, role_named(first), None, person.name, now
        )
        also = self._aside(changed.name, texts.your_role(changed.role), person)
        return tell(texts.role_changed(changed.name, changed.role), also=also)

    def _leave(self, person: Person, rest: str, now: datetime) -> Reply:
        if rest.lower() != SURE:
            check = open_check(self.logbook, person.name)
            line = texts.leave_or_not(check.door.number if check else "")
            return tell(line, taps=(buttons.LEAVE,), does=(f"/leave {SURE}",))
        People(self.logbook).leave(person.name, person.name, now)
        return Reply((Prompt(text=texts.NO_LONGER_KNOWN),), moved_on=True)

    def _remove(self, person: Person, rest: str, now: datetime, site: str | None) -> Reply:
        if not rest:
            return self._whom(texts.WHO_LEAVES, "/remove", self._others(person, site))
        # counts as confirmed only with the number given in the question: somebody may be called
        # "Kim yes"
        first, _, more = rest.partition(" ")
        sure = number_in(first) is not None and more.strip().lower() == SURE
        found = self._named(person, first if sure else self._without_yes(rest))
        if not sure:
            number = People(self.logbook).number(found.name)
            does = f"/remove #{number} {SURE}"
            line = texts.remove_or_not(found.name, does)
            return tell(line, taps=(buttons.remove_person(found.name),), does=(does,))
        check = open_check(self.logbook, found.name)
        also = self._aside(
            found.name,
            texts.NO_LONGER_KNOWN,
            person,
            moved_on=True,
        )
        People(self.logbook).leave(found.name, person.name, now)
        left = check.door.number if check else ""
        return tell(texts.removed(found.name, left), also=also)

    def _hand_over(self, person: Person, rest: str, now: datetime) -> Reply:
        if not rest:
            takers = [
                each for each in self._known() if each.name != person.name and each.may(Right.CHECK)
            ]
            return self._whom(texts.WHO_TAKES_ROUND, "/handover", takers)
        taker = self._named(None, rest).name
        check, also = handed_over(self.logbook, person.name, taker, person.name, now)
        line = texts.round_given(taker, check.door.number if check else "")
        return Reply((Prompt(text=line),), also=also, moved_on=True)

    # ---- lookup of people

    def _known(self) -> list[Person]:
        return [each for each in self.logbook.people() if not each.gone]

    def _seen_by(self, person: Person, site: str | None) -> list[Person]:
        """Everybody who shares a site with this person; in a group, with its site."""
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
        """The name before a trailing "yes", if nobody's full name matches."""
        is_name = self._called(rest) or not rest.lower().endswith(f" {SURE}")
        return rest if is_name else rest[: -len(SURE)].strip()

    def _called(self, name: str) -> list[Person]:
        return [each for each in self._known() if same_name(each.name, name)]

    def _named(self, person: Person | None, name: str) -> Person:
        """A known person, by number or by name, ignoring case. Raises LogbookError, also if a
        supervisor of some sites names somebody from outside them, or the name is ambiguous.
        """
        number = number_in(name)
        people = People(self.logbook)
        called = (
            self._called(name)
            if number is None
            else [each for each in [people.numbered(number)] if not each.gone]
        )
        if not called:
            raise LogbookError(texts.nobody_called(name))
        found = next((each for each in called if each.name == name), called[0])
        if len(called) > 1 and found.name != name:
            each = [texts.numbered(one.name, people.number(one.name)) for one in called]
            raise LogbookError(texts.called_alike(each))
        if person is not None and not _within(person, found):
            raise LogbookError(texts.other_sites(found.name))
        return found

    def _whom(self, question: str, order: str, people: list[Person]) -> Reply:
        if not people:
            return tell(texts.NOBODY_ELSE)
        if len(people) > MAX_TAPS:
            return tell(texts.name_it(question, order, people[0].name))
        numbers = [People(self.logbook).number(each.name) for each in people]
        does = (f"{order} #{number}" for number in numbers)
        return tell(question, taps=tuple(each.name for each in people), does=tuple(does))

    def _aside(
        self, name: str, line: str, by: Person, moved_on: bool = False
    ) -> tuple[Notification, ...]:
        """A line for another person, if they are reachable on a messenger."""
        accounts = People(self.logbook).accounts(name)[:1] if name != by.name else []
        return tuple(Notification(account, (Prompt(text=line),), moved_on) for account in accounts)


def _within(person: Person, other: Person) -> bool:
    return not person.sites or bool(other.sites and all(person.knows(site) for site in other.sites))
