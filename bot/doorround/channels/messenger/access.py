"""Access control on a messenger: strangers, invites and consent; then commands from known
people.
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime

from doorround.channels.messenger.commands import MAX_TAPS, Commands
from doorround.channels.messenger.door_report import door_report
from doorround.channels.messenger.query_handler import QueryHandler
from doorround.channels.messenger.results import Notification, Reply, StartCheck, tell
from doorround.channels.messenger.word_judging import KeepWords
from doorround.dialogue.command_menu import (
    IN_GROUPS,
    OLD_WORDS,
    ORDERS,
    help_of,
    is_for_the_talk,
    read_order,
)
from doorround.domain.check import Prompt, PromptKind
from doorround.domain.invites import as_code, invite_of
from doorround.domain.links import InviteLink, LinkKey, LinkProblem, NoLink, door_of, read_payload
from doorround.domain.people import Account, Person, Right, counts_in_group, role_named
from doorround.domain.query import QueryKind, read_query
from doorround.domain.schedule.plan import Plan
from doorround.domain.stranger_limits import may_try, polite_line_due, wrong_code
from doorround.domain.values import Word
from doorround.logbook.errors import LogbookError, StorageError
from doorround.logbook.people import People
from doorround.logbook.repair_looks import door_to_look_at
from doorround.logbook.store import Logbook
from doorround.messages import buttons, finding_door, query_answers, receiving
from doorround.messages import people as texts

log = logging.getLogger("doorround")

AGREE = buttons.I_AGREE
DECLINE = "no"
_YES = ("i agree", "agree", "yes", "ok")
_NO = ("no", "i do not agree", "i don't agree")


@dataclass(frozen=True)
class Access:
    """keys: returns the current door-link keys, the signing key first. chance: random bytes, as
    secrets.token_bytes. Runs in the channel's transaction, if it opens one. plan: intervals and
    reminders. keep_words: see WordJudging.
    """

    logbook: Logbook
    keys: Callable[[], Sequence[LinkKey]]
    keep_days: int
    bot_name: str
    chance: Callable[[int], bytes]
    plan: Plan = field(default_factory=Plan)
    keep_words: KeepWords | None = None

    def known(self, account: Account) -> Person | None:
        """The person with this account; None if unknown."""
        return People(self.logbook).behind(account)

    def stranger(
        self, account: Account, shown: str, text: str, now: datetime, own: bool = True
    ) -> Reply:
        """Reply to a stranger in a private chat; an invite and consent make them known.

        shown: the name that the messenger shows. text: as typed or tapped, including "/start …"; ""
        for anything else. own: not forwarded: a forwarded "yes" is not consent.
        """
        people = People(self.logbook)
        with self.logbook.writing():
            code = _code(text)
            if code is not None:
                return self._opened(people, account, shown, code, now)
            standing = people.joining(account)
            if standing is not None:
                answer = text.strip().lower().rstrip(".!")
                if answer in _YES and own:
                    return self._joined(people, account, now)
                if answer in _NO:
                    people.forget(account)
                    return replace(tell(texts.NOTHING_KEPT), forget=True)
                if standing[0].closed(now) is None:
                    return tell(texts.AGREE_OR_NOT, taps=(AGREE, DECLINE))
            attempts, polite = polite_line_due(people.attempts(account), now)
            if not polite:
                return Reply()
            people.remember(account, attempts, now)
            return tell(texts.POLITE)

    def _opened(
        self, people: People, account: Account, shown: str, code: str, now: datetime
    ) -> Reply:
        attempts = people.attempts(account)
        if not may_try(attempts, now):
            return Reply()
        invite = invite_of(code, people.invites())
        end = None if invite is None else invite.closed(now)
        if invite is None or end is not None:
            attempts, slowed = wrong_code(attempts, now)
            people.remember(account, attempts, now)
            why = texts.invite_closed(end) if end else texts.UNKNOWN_CODE
            return tell(texts.SLOWED if slowed else why)
        consent = texts.consent(invite.role, self.keep_days)
        people.open_invite(account, code, shown, consent, now)
        return Reply((Prompt(text=consent, kind=PromptKind.READ_BACK, taps=(AGREE, DECLINE)),))

    def _joined(self, people: People, account: Account, now: datetime) -> Reply:
        standing = people.joining(account)
        try:
            person = people.join(account, now)
        except StorageError:
            raise
        except LogbookError as error:
            people.decline(account)
            return tell(str(error))
        by = standing[0].by if standing else ""
        joined = Prompt(text=texts.joined(person.name, person.role))
        also = tuple(
            Notification(each, (joined,)) for each in people.accounts(by)[:1] if by != person.name
        )
        welcome = texts.welcome(person.name, person.role)
        say = (Prompt(text=welcome), Prompt(text=help_of(role_named(person.role))))
        return Reply(say, also=also, moved_on=True)

    def order(
        self, person: Person, text: str, now: datetime, group: str | None = None
    ) -> Reply | StartCheck | None:
        """Reply to a known person's command; None if the text is not one and goes to the talk.

        text: as typed or tapped; "" for a recording or the like. group: name of the group chat it
        was written in; there, nothing goes to the talk, and only commands from the site's
        supervisors count. Raises StorageError.
        """
        with self.logbook.writing():
            order = read_order(text)
            if order is not None and order[0] in OLD_WORDS and person.may(Right.CHANGE_PEOPLE):
                return self._by_old_word(person, order, now, group)
            if group is not None:
                return self._in_group(person, order, now, group)
            if order is None:
                return self._asked(person, text, now) or self._said(person, text, now)
            if order[0] == "start":
                return self._started(person, order[1])
            return None if _is_talk(person, order) else self._orders.obey(person, *order, now)

    def _by_old_word(
        self, person: Person, order: tuple[str, str], now: datetime, group: str | None
    ) -> Reply | StartCheck:
        """Run an old command name, and say its new name."""
        old, rest = order
        new = OLD_WORDS[old]
        if group is None:
            done = self._orders.obey(person, new, rest, now)
        else:
            done = self._in_group(person, (new, rest), now, group)
        if not (isinstance(done, Reply) and done.say):
            return done
        return replace(done, say=(Prompt(text=texts.renamed(old, new)), *done.say))

    @property
    def _orders(self) -> Commands:
        return Commands(self.logbook, self.bot_name, self.chance)

    def _asked(self, person: Person, text: str, now: datetime) -> Reply | StartCheck | None:
        """Queries in free words: what is due, who is late, a door, a defect, a look at a repair, a
        snooze.
        """
        asked = read_query(text)
        try:
            if asked and asked.what is QueryKind.LOOK and person.may(Right.CHECK):
                door = door_to_look_at(self.logbook, asked.name, asked.number, person.knows)
                return StartCheck(door, look=True)
            handler = QueryHandler(self.logbook, self.plan, self.keep_words)
            return handler.answer(person, asked, now) if asked else None
        except StorageError:
            raise
        except LogbookError as error:
            return tell(str(error))

    def _said(self, person: Person, text: str, now: datetime) -> Reply | None:
        """Anything but a command: a code, "read aloud", input for the talk, a door that an auditor
        asks about.
        """
        code = as_code(text)
        if code is not None and invite_of(code, People(self.logbook).invites()) is not None:
            return tell(texts.known_already(person.role))
        if person.may(Right.CHECK):
            words = text.strip().casefold()
            reading = words in (Word.READ_ALOUD, Word.STOP_READING)
            return (
                self._orders.read_aloud(person, words == Word.READ_ALOUD, now) if reading else None
            )
        return self._orders.look(person, text.strip())

    def _in_group(
        self, person: Person, order: tuple[str, str] | None, now: datetime, group: str
    ) -> Reply:
        people = People(self.logbook)
        if (
            order is None
            or order[0] not in {each.word for each in ORDERS}
            or not person.may(Right.BIND_GROUP)
        ):
            return Reply()
        site = people.group_site(group)
        if order[0] == "bind" and (site is None or counts_in_group(person, site)):
            return self._bind(person, order[1], now, group)
        if not counts_in_group(person, site):
            return Reply()
        if order[0] not in {each.word for each in IN_GROUPS}:
            return tell(texts.not_in_group(order[0]))
        done = self._orders.obey(person, *order, now, site)
        return done if isinstance(done, Reply) else Reply()

    def _bind(self, person: Person, words: str, now: datetime, group: str) -> Reply:
        mine = self._orders.sites_of(person)
        if not words and len(mine) > 1:
            sites = tuple(site for site in mine if site)[:MAX_TAPS]
            return tell(texts.WHICH_SITE, taps=sites, does=tuple(f"/bind {site}" for site in sites))
        try:
            site = self._orders.site_named(person, words)
        except ValueError as error:
            return tell(str(error))
        People(self.logbook).bind_group(group, site, person.name, now)
        return tell(texts.group_bound(site))

    def _started(self, person: Person, payload: str) -> Reply | StartCheck:
        if not payload:
            return (
                StartCheck(None)
                if person.may(Right.CHECK)
                else tell(help_of(role_named(person.role)))
            )
        link = read_payload(payload)
        if isinstance(link, InviteLink):
            return tell(texts.known_already(person.role))
        try:
            door = (
                link.why
                if isinstance(link, NoLink)
                else door_of(link, self.logbook.labels(), self.keys())
            )
        except (ValueError, OSError) as error:
            log.error("labels cannot be read: %s", error)
            return tell(receiving.NO_LABELS)
        if isinstance(door, LinkProblem):
            return tell(finding_door.leads_nowhere(door))
        if person.may_check(door):
            return StartCheck(door)
        if person.may(Right.READ) and person.knows(door.site):
            return tell(door_report(self.logbook, [door]))
        return tell(query_answers.may_not_check(door.number))


def _is_talk(person: Person, order: tuple[str, str]) -> bool:
    """Whether "/skip", "/next" or "/door 14" is meant for the talk at the door."""
    word, rest = order
    return person.may(Right.CHECK) and (is_for_the_talk(word) or (word == "door" and bool(rest)))


def _code(text: str) -> str | None:
    """The invite code in a message: typed alone, or in an invite link."""
    order = read_order(text)
    if order is None:
        return as_code(text)
    link = read_payload(order[1]) if order[0] == "start" else None
    return link.code if isinstance(link, InviteLink) else None
