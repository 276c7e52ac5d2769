"""The people of a site and their permissions."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from doorround.domain.door import Door

MAX_NAME = 60


class Role(StrEnum):
    """Role of a person; MAY lists each role's permissions."""

    CARETAKER = "caretaker"
    SUPERVISOR = "supervisor"
    AUDITOR = "auditor"
    CONTRACTOR = "contractor"


class Right(StrEnum):
    """One permission. OWN: one's own data, help, leaving."""

    OWN = "see and end what is one's own"
    READ = "read the logbook"
    CHECK = "check doors"
    HAND_OVER = "hand a check over"
    INVITE = "invite people"
    CHANGE_PEOPLE = "change roles and end them"
    BIND_GROUP = "bind a group to a site"


MAY: dict[Role, frozenset[Right]] = {
    Role.CARETAKER: frozenset({Right.OWN, Right.CHECK, Right.HAND_OVER}),
    Role.SUPERVISOR: frozenset(Right),
    Role.AUDITOR: frozenset({Right.OWN, Right.READ}),
    Role.CONTRACTOR: frozenset({Right.OWN}),
}


INVITED = tuple(role for role in Role if role is not Role.CONTRACTOR)
"""Roles that can be given to somebody on a messenger."""


def role_named(text: str) -> Role:
    """The role of that name. Raises ValueError listing them."""
    try:
        return Role(text.strip().lower())
    except ValueError:
        raise ValueError(f'"{text}" is not a role. Use one of: {", ".join(Role)}.') from None


@dataclass(frozen=True)
class Account:
    """An account on a messenger. channel: "telegram". id: the messenger's own, as text."""

    channel: str
    id: str

    @property
    def talk(self) -> str:
        """Name of this account's private chat, "telegram/4711"."""
        return f"{self.channel}/{self.id}"


@dataclass(frozen=True)
class Person:
    """Somebody who may check doors or read about them.

    role: as given; a value that is not a Role grants nothing. since: UTC. sites: where; empty for
    everywhere. gone: has left, with no permissions.
    """

    name: str
    role: str
    since: datetime
    sites: tuple[str, ...] = ()
    gone: bool = False

    def may(self, right: Right) -> bool:
        """Whether this person has the permission at all."""
        return not self.gone and self.role in list(Role) and right in MAY[Role(self.role)]

    def knows(self, site: str) -> bool:
        """Whether a site is within this person's scope."""
        return not self.sites or site in self.sites

    def supervises(self, site: str) -> bool:
        """Whether this person manages people at a site."""
        return self.may(Right.CHANGE_PEOPLE) and self.knows(site)

    def may_check(self, door: Door) -> bool:
        """Whether this person may check a door."""
        return self.may(Right.CHECK) and self.knows(door.site)


def counts_in_group(person: Person | None, site: str | None) -> bool:
    """Whether this person's commands in a group are accepted: a supervisor of the site that the
    group is bound to.

    person: None for somebody unknown. site: None for a group bound to none.
    """
    return (
        person is not None
        and site is not None
        and person.may(Right.BIND_GROUP)
        and person.knows(site)
    )


def unsupervised(
    before: Person, after: Person, others: Iterable[Person], sites: Iterable[str]
) -> str | None:
    """A site that a change would leave with nobody to manage its people.

    before, after: that person. sites: all there are; "" stands for any future site, and is returned
    if nobody with access to every site would be left. None if each site keeps somebody.
    """
    for site in sorted({"", *sites}):
        if before.supervises(site) and not any(
            person.supervises(site) for person in (after, *others)
        ):
            return site
    return None


def same_name(name: str, typed: str) -> bool:
    """Whether a name was typed, ignoring case, spaces and trailing punctuation."""
    return _alike(name) == _alike(typed)


def _alike(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split()).strip(" ?!.")


def number_in(text: str) -> int | None:
    """The id of a person written as "#12"; None for anything else."""
    found = re.fullmatch(r"#(\d{1,9})", text.strip(), re.ASCII)
    return int(found[1]) if found else None


_UNSEEN = frozenset("\u115f\u1160\u3164\uffa0\u2800")
"""Invisible characters that Unicode classes as letters."""


def plain_name(shown: str) -> str:
    """A name for the logbook, cleaned from what a messenger shows: one line, nothing invisible, not
    too long, not a person's id.
    """
    kept = "".join(
        " " if unicodedata.category(sign)[0] in "CZ" or sign in _UNSEEN else sign for sign in shown
    )
    kept = unicodedata.normalize("NFC", kept).lstrip(" #")
    return " ".join(kept.split())[:MAX_NAME].strip() or "somebody"


OURS = frozenset({"doorround", "supervisor", "nobody", "somebody", "everybody"})
"""Reserved names: the program's in its entries, the terminal's default."""


def free_name(name: str, taken: frozenset[str]) -> str:
    """The name, or "Robin (2)" if Robin is taken or reserved. Ignores case and compatibility
    variants such as full-width letters.
    """
    taken = frozenset(map(_alike, taken | OURS))
    nth = 1
    free = name
    while _alike(free) in taken:
        nth += 1
        free = f"{name} ({nth})"
    return free
