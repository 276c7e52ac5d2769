"""Whoever writes on a messenger: unknown people, invites and consent; then the orders of people who are known."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from bot.dialogue.menu import ORDERS, help_of, orders_of, read_order
from bot.domain.check import Prompt, PromptKind
from bot.domain.door import Door
from bot.domain.invites import CODE_SIGNS, DAYS_OPEN, as_code, consent_line, invite_of, new_code
from bot.domain.links import InviteLink, LinkKey, NoLink, door_of, invite_payload, read_payload, start_link
from bot.domain.people import Account, Person, Role, counts_in_group, role_named
from bot.domain.strangers import UNKNOWN_CODE, knock, may_try, wrong_code
from bot.logbook.errors import LogbookError
from bot.logbook.handing import hand_over
from bot.logbook.people import People
from bot.logbook.recordings import own_data
from bot.logbook.store import Logbook

AGREE, DECLINE = "I agree", "no"
_YES = ("i agree", "agree", "yes", "ok")
_NO = ("no", "i do not agree", "i don't agree")


@dataclass(frozen=True)
class Told:
    """What to answer; nothing, where empty. file: name and bytes to send. also: what others are told, by account."""

    say: tuple[Prompt, ...] = ()
    file: tuple[str, bytes] | None = None
    also: tuple[tuple[Account, tuple[Prompt, ...]], ...] = ()


@dataclass(frozen=True)
class AtDoor:
    """A known person scanned a door's label: begin its check. door: None to ask which door."""

    door: Door | None


@dataclass(frozen=True)
class Reception:
    """keys: of door links, the signing one first. chance: random bytes, as secrets.token_bytes. All in one transaction
    with what the channel keeps, where it opens one."""

    logbook: Logbook
    keys: tuple[LinkKey, ...]
    recordings: Path
    keep_days: int
    bot_name: str
    chance: Callable[[int], bytes]

    def known(self, account: Account) -> Person | None:
        """Who writes from this account; None for somebody unknown."""
        return People(self.logbook).behind(account)

    def stranger(self, account: Account, shown: str, text: str, now: datetime) -> Told:
        """What somebody unknown is told, in their own chat; after an invite and their consent they are known.

        shown: the name that the messenger shows. text: as typed or tapped, "/start …" too; "" for anything else.
        """
        people = People(self.logbook)
        with self.logbook.writing():
            code = _code(text)
            if code is not None:
                return self._opened(people, account, shown, code, now)
            if people.joining(account) is not None:
                answer = text.strip().lower().rstrip(".!")
                if answer in _YES:
                    return self._joined(people, account, now)
                if answer in _NO:
                    people.decline(account)
                    return _say("Nothing is kept of you. The invite stays open.")
            knocks, line = knock(people.knocks(account), now)
            if line is None:
                return Told()
            people.remember(account, knocks, now)
            return _say(line)

    def _opened(self, people: People, account: Account, shown: str, code: str, now: datetime) -> Told:
        knocks = people.knocks(account)
        if not may_try(knocks, now):
            return Told()
        invite = invite_of(code, people.invites())
        why = UNKNOWN_CODE if invite is None else invite.closed(now)
        if invite is None or why is not None:
            knocks, line = wrong_code(knocks, now, why or UNKNOWN_CODE)
            people.remember(account, knocks, now)
            return _say(line)
        consent = consent_line(invite.role, self.keep_days)
        people.open_invite(account, code, shown, consent, now)
        return Told((Prompt(text=consent, kind=PromptKind.READ_BACK, taps=(AGREE, DECLINE)),))

    def _joined(self, people: People, account: Account, now: datetime) -> Told:
        try:
            person = people.join(account, now)
        except LogbookError as error:
            people.decline(account)
            return _say(str(error))
        return _say(f"Welcome, {person.name}. You are {person.role} here.", help_of(role_named(person.role)))

    def order(self, person: Person, text: str, now: datetime, group: str | None = None) -> Told | AtDoor | None:
        """What a known person orders; None where the text is no order and goes to the talk.

        group: name of the group chat it was written in; there nothing is for the talk, and only orders of the site's
        supervisors count.
        """
        order = read_order(text)
        if group is not None:
            return self._in_group(person, order, now, group)
        if order is None:
            code = as_code(text)
            if code is not None and invite_of(code, People(self.logbook).invites()) is not None:
                return _say(f"You are known here already, as {person.role}.")
            return None if person.role != Role.AUDITOR else _say("You may read here, but check no doors. /help")
        if order[0] == "start":
            return self._started(person, order[1])
        return self._obey(person, order, now)

    def _in_group(self, person: Person, order: tuple[str, str] | None, now: datetime, group: str) -> Told:
        people = People(self.logbook)
        if order is None:
            return Told()
        if order[0] == "bind":
            if not order[1] or not counts_in_group(person, order[1]):
                return Told()
            site = people.group_site(group)
            if site is not None and not counts_in_group(person, site):
                return Told()
            people.bind_group(group, order[1], person.name, now)
            return _say(f"This group is bound to {order[1]}. Only its supervisors' orders count here.")
        in_groups = [each.word for each in ORDERS if each.group]
        if order[0] not in in_groups or not counts_in_group(person, people.group_site(group)):
            return Told()
        done = self._obey(person, order, now)
        return done if isinstance(done, Told) else Told()

    def _started(self, person: Person, payload: str) -> Told | AtDoor:
        if not payload:
            return _say(help_of(role_named(person.role)))
        link = read_payload(payload)
        if isinstance(link, InviteLink):
            return _say(f"You are known here already, as {person.role}.")
        door = link.why if isinstance(link, NoLink) else door_of(link, self.logbook.doors(), self.keys)
        if isinstance(door, str):
            return _say(door)
        if not person.may_check(door):
            return _say(f"You may not check door {door.number}. Ask your supervisor.")
        return AtDoor(door)

    def _obey(self, person: Person, order: tuple[str, str], now: datetime) -> Told | AtDoor:
        word, rest = order
        if word not in [each.word for each in orders_of(role_named(person.role))]:
            return _say(f"/{word} is nothing that you may order here. /help")
        if word == "door":
            return AtDoor(None)
        try:
            return self._obeyed(person, word, rest, now)
        except (LogbookError, ValueError) as error:
            return _say(str(error))

    def _obeyed(self, person: Person, word: str, rest: str, now: datetime) -> Told:
        people, first, _, second = People(self.logbook), *rest.partition(" ")
        match word:
            case "people":
                return _say("\n".join(f"{p.name}: {p.role}" for p in self.logbook.people() if not p.gone))
            case "invite":
                return self._invited(person, role_named(first), second.strip(), now)
            case "role":
                self._refuse_beyond(person, second.strip())
                changed = people.change_role(second.strip(), role_named(first), None, person.name, now)
                return _say(f"{changed.name} is {changed.role} now.")
            case "leave" if rest.lower() != "yes":
                return _say("Then you can do nothing here without a new invite. To leave, send: /leave yes")
            case "farewell" | "leave":
                name = rest if word == "farewell" else person.name
                self._refuse_beyond(person, name)
                people.leave(name, person.name, now)
                return _say(f"{name} is no longer known here. What was entered stays.")
            case "handover":
                check = hand_over(self.logbook, person.name, rest, person.name, now)
                said = (Prompt(text=f"{person.name} handed the round over to you."), *(check.said if check else ()))
                return Told(
                    (Prompt(text=f"{rest} has your round now."),),
                    also=tuple((each, said) for each in people.accounts(rest)[:1]),
                )
            case "mydata":
                data = own_data(self.logbook, person.name, self.recordings, now)
                text = json.dumps(data, ensure_ascii=False, indent=2)
                return Told((Prompt(text="All that is kept of you."),), ("mydata.json", text.encode()))
            case _:
                return _say(help_of(role_named(person.role)))

    def _refuse_beyond(self, person: Person, name: str) -> None:
        """A supervisor of some sites says nothing of people who have to do with others."""
        sites = People(self.logbook).person(name).sites
        if person.sites and not (sites and all(person.knows(site) for site in sites)):
            raise LogbookError(f"{name} has to do with other sites than yours.")

    def _invited(self, person: Person, role: Role, site: str, now: datetime) -> Told:
        sites = (site,) if site else person.sites
        if not all(person.knows(each) for each in sites):
            return _say(f"{site} is none of your sites.")
        code = new_code(self.chance(CODE_SIGNS))
        People(self.logbook).invite(code, role, sites, DAYS_OPEN, person.name, now)
        link = f"\n{start_link(self.bot_name, invite_payload(code))}" if self.bot_name else ""
        return _say(f"For one {role}, within {DAYS_OPEN} days. Send it to that person alone: {code}{link}")


def _code(text: str) -> str | None:
    """The code in a message: typed by itself, or behind an invite's link."""
    order = read_order(text)
    if order is None:
        return as_code(text)
    link = read_payload(order[1]) if order[0] == "start" else None
    return link.code if isinstance(link, InviteLink) else None


def _say(*lines: str) -> Told:
    return Told(tuple(Prompt(text=line) for line in lines))
