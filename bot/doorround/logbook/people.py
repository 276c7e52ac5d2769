"""Who is known: invites, joining, roles, leaving, groups.

Everything is an entry; one transaction a deed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.invites import Invite, hash_of, invite_of
from doorround.domain.people import Account, Person, Role, free_name, plain_name, unsupervised
from doorround.domain.stranger_limits import FORGOTTEN_AFTER, Knocks
from doorround.logbook.errors import LogbookError, UnknownPersonError
from doorround.logbook.records import read_person
from doorround.logbook.store import Logbook
from doorround.logbook.turn_events import stamp

_NUMBERS = """SELECT number, name FROM (
    SELECT min(seq) AS number, json_extract(body, '$.name') AS name FROM entries
    WHERE kind IN ('person added', 'person joined', 'role changed', 'person left')
    GROUP BY json_extract(body, '$.name')
) WHERE true"""
_INVITE = "SELECT invite, body, person, spent_by, withdrawn FROM invites"


class People:
    """The people of a logbook.

    Times are aware; by: name of who does it, as it stands in the logbook.
    """

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook

    # ---- who is known

    def person(self, name: str) -> Person:
        """The person of that name. Raises UnknownPersonError."""
        rows = self._logbook._rows(
            "SELECT name, role, at, sites, gone FROM people WHERE name = ?", name
        )
        if not rows:
            raise UnknownPersonError(f"Nobody called {name} is known. See: doorround people list.")
        return read_person(rows[0])

    def number(self, name: str) -> int:
        """The number that this person has for good: that of the first entry about them.

        Raises UnknownPersonError.
        """
        rows = self._logbook._rows(_NUMBERS + " AND name = ?", name)
        if not rows:
            raise UnknownPersonError(f"Nobody called {name} is known.")
        return int(rows[0][0])

    def numbered(self, number: int) -> Person:
        """The person of that number. Raises UnknownPersonError."""
        rows = self._logbook._rows(_NUMBERS + " AND number = ?", number)
        if not rows:
            raise UnknownPersonError(f"Nobody has the number {number} here.")
        return self.person(str(rows[0][1]))

    def behind(self, account: Account) -> Person | None:
        """Whose account this is; None for one that is nobody's, or whose person left."""
        sql = "SELECT name FROM accounts WHERE channel = ? AND account = ?"
        for (name,) in self._logbook._rows(sql, account.channel, account.id):
            person = self.person(name)
            return None if person.gone else person
        return None

    def accounts(self, name: str) -> list[Account]:
        """The accounts of a person, the newest first."""
        rows = self._logbook._rows(
            "SELECT channel, account FROM accounts WHERE name = ? ORDER BY seq DESC", name
        )
        return [Account(channel, id) for channel, id in rows]

    def roles(self, channel: str) -> dict[Account, str]:
        """The role of each account of a channel that is somebody's."""
        sql = """SELECT a.channel, a.account, p.role FROM accounts AS a JOIN people AS p
            ON p.name = a.name
            WHERE a.channel = ? AND NOT p.gone"""
        return {
            Account(channel, id): role for channel, id, role in self._logbook._rows(sql, channel)
        }

    # ---- invites

    def invites(self) -> list[Invite]:
        """Every invite ever made, in that order."""
        return [_invite(row) for row in self._logbook._rows(f"{_INVITE} ORDER BY seq")]

    def invite(
        self,
        code: str,
        role: Role,
        sites: tuple[str, ...],
        days: int,
        by: str,
        now: datetime,
        name: str | None = None,
    ) -> Invite:
        """Keep an invite by the hash of its code. days: for how long it may be used.

        name: of the person, also of one known already who has another account now; None for the
        name that the messenger shows.
        """
        hash = hash_of(code)
        expires = now + timedelta(days=days)
        name = plain_name(name) if name is not None else None
        invite = Invite(hash[:8], hash, role.value, tuple(sites), name, by, expires)
        body = {
            "invite": invite.id,
            "code_hash": hash,
            "role": role.value,
            "sites": list(sites),
            "expires": stamp(expires),
            "as": name,
        }
        with self._logbook.writing():
            if any(known.id == invite.id for known in self.invites()):
                raise LogbookError("This invite's number is taken. Make it once more.")
            self._enter(EntryKind.PERSON_INVITED, by, now, body)
        return invite

    def withdraw_invite(self, id: str, by: str, now: datetime) -> None:
        """Take an open invite back. Raises LogbookError for one that is unknown or open no more."""
        with self._logbook.writing():
            found = self._invite(id)
            why = (
                found.closed(now)
                if found
                else f"There is no invite {id}. See: doorround people list."
            )
            if why:
                raise LogbookError(why)
            self._enter(EntryKind.INVITE_WITHDRAWN, by, now, {"invite": id})

    def open_invite(
        self, account: Account, code: str, shown: str, consent: str, now: datetime
    ) -> None:
        """Note that somebody opened an invite and was asked to agree to `consent`. shown: name on
        the messenger.
        """
        invite = invite_of(code, self.invites())
        if invite is None:
            raise LogbookError("There is no such invite.")
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                """INSERT INTO joining (account, invite, name, consent, updated)
                    VALUES (?, ?, ?, ?, ?)
                ON CONFLICT (account) DO UPDATE SET invite = excluded.invite, name = excluded.name,
                    consent = excluded.consent, updated = excluded.updated""",
                (account.talk, invite.id, plain_name(shown), consent, stamp(now)),
            )

    def joining(self, account: Account) -> tuple[Invite, str] | None:
        """The invite that this account opened, and the consent line it was shown; None where it
        opened none.
        """
        for id, consent in self._logbook._rows(
            "SELECT invite, consent FROM joining WHERE account = ?", account.talk
        ):
            invite = self._invite(id)
            return (invite, consent) if invite else None
        return None

    def decline(self, account: Account) -> None:
        """Forget that this account opened an invite. The invite stays open."""
        with self._logbook.writing():
            self._logbook._db.conn.execute("DELETE FROM joining WHERE account = ?", (account.talk,))

    def forget(self, account: Account) -> None:
        """Keep nothing of an account that is nobody's: that it opened an invite, that it
        knocked.
        """
        with self._logbook.writing():
            for table in ("joining", "strangers"):
                self._logbook._db.conn.execute(
                    f"DELETE FROM {table} WHERE account = ?", (account.talk,)
                )

    def forget_undecided(self, before: datetime) -> None:
        """Forget who opened an invite before that time and never answered."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM joining WHERE updated < ?", (stamp(before),)
            )

    def join(self, account: Account, now: datetime) -> Person:
        """Bind an account to a person, once the consent line was agreed to: two entries, "joined"
        and "consent given".

        Raises LogbookError in words for who tries: used, taken back or run out meanwhile, or no
        invite opened.
        """
        with self._logbook.writing():
            standing = self.joining(account)
            if standing is None:
                raise LogbookError("There is no invite open here. Send its code.")
            invite, consent = standing
            if why := invite.closed(now):
                raise LogbookError(why)
            shown = self._logbook._rows("SELECT name FROM joining WHERE account = ?", account.talk)[
                0
            ][0]
            taken = frozenset(person.name for person in self._logbook.people())
            name = invite.name or free_name(shown, taken)
            body = {
                "name": name,
                "role": invite.role,
                "sites": list(invite.sites),
                "invite": invite.id,
            }
            bound = {"channel": account.channel, "account": account.id}
            self._enter(EntryKind.PERSON_JOINED, name, now, {**body, **bound})
            self._enter(
                EntryKind.CONSENT_GIVEN, name, now, {"name": name, "agreed_to": consent, **bound}
            )
            for table in ("joining", "strangers"):
                self._logbook._db.conn.execute(
                    f"DELETE FROM {table} WHERE account = ?", (account.talk,)
                )
            return self.person(name)

    def _invite(self, id: str) -> Invite | None:
        rows = self._logbook._rows(f"{_INVITE} WHERE invite = ?", id)
        return _invite(rows[0]) if rows else None

    # ---- what changes

    def change_role(
        self, name: str, role: Role, sites: tuple[str, ...] | None, by: str, now: datetime
    ) -> Person:
        """Give somebody another role or other sites; sites: None leaves them. Raises LogbookError
        for who left, and where a site would be without a supervisor.
        """
        with self._logbook.writing():
            person = self.person(name)
            if person.gone:
                raise LogbookError(f"{name} left. Make a new invite: doorround people invite.")
            after = replace(
                person, role=role.value, sites=person.sites if sites is None else tuple(sites)
            )
            self._keep_a_supervisor(person, after)
            changed = {"name": name, "role": after.role, "sites": list(after.sites)}
            self._enter(EntryKind.ROLE_CHANGED, by, now, changed)
            return self.person(name)

    def leave(self, name: str, by: str, now: datetime, *, even_last: bool = False) -> None:
        """End somebody's being known. What they entered stays. Raises LogbookError for who left
        already, and where a site would be without a supervisor. even_last: also then.
        """
        with self._logbook.writing():
            person = self.person(name)
            if person.gone:
                raise LogbookError(f"{name} left already.")
            if not even_last:
                self._keep_a_supervisor(person, replace(person, gone=True))
            body = {"name": name, "role": person.role, "sites": list(person.sites)}
            self._enter(EntryKind.PERSON_LEFT, by, now, body)

    def _keep_a_supervisor(self, before: Person, after: Person) -> None:
        others = [person for person in self._logbook.people() if person.name != before.name]
        sites = {door.site for door in self._logbook.doors()} | set(before.sites)
        bare = unsupervised(before, after, others, sites)
        if bare is not None:
            where = bare or "every site"
            raise LogbookError(f"Nobody else is supervisor of {where}. Make somebody that first.")

    # ---- groups

    def bind_group(self, group: str, site: str, by: str, now: datetime) -> None:
        """Bind a group chat to a site. group: name of the chat, "telegram/-4711"."""
        with self._logbook.writing():
            self._enter(EntryKind.GROUP_BOUND, by, now, {"group": group, "site": site})

    def groups(self) -> dict[str, str]:
        """Every group that is bound, with its site."""
        return {
            str(group): str(site)
            for group, site in self._logbook._rows('SELECT "group", site FROM groups')
        }

    def group_site(self, group: str) -> str | None:
        """The site that a group is bound to; None for a group bound to none."""
        rows = self._logbook._rows('SELECT site FROM groups WHERE "group" = ?', group)
        return str(rows[0][0]) if rows else None

    # ---- strangers

    def knocks(self, account: Account) -> Knocks:
        """What an unknown account did within the last day."""
        sql = "SELECT told, tries, tried FROM strangers WHERE account = ?"
        for told, tries, tried in self._logbook._rows(sql, account.talk):
            return Knocks(_time(told), int(tries), _time(tried))
        return Knocks()

    def remember(self, account: Account, knocks: Knocks, now: datetime) -> None:
        """Keep what an unknown account did; what is older than a day is forgotten."""
        with self._logbook.writing():
            conn = self._logbook._db.conn
            conn.execute("DELETE FROM strangers WHERE updated < ?", (stamp(now - FORGOTTEN_AFTER),))
            conn.execute(
                """INSERT INTO strangers (account, told, tries, tried, updated)
                    VALUES (?, ?, ?, ?, ?)
                ON CONFLICT (account) DO UPDATE SET told = excluded.told, tries = excluded.tries,
                    tried = excluded.tried, updated = excluded.updated""",
                (account.talk, _text(knocks.told), knocks.tries, _text(knocks.tried), stamp(now)),
            )

    def _enter(self, kind: EntryKind, by: str, now: datetime, body: Mapping[str, Any]) -> None:
        self._logbook._enter([Entry(kind=kind, at=now, person=by, body=dict(body))])


def _invite(row: tuple[Any, ...]) -> Invite:
    id, text, by, spent_by, withdrawn = row
    body = json.loads(text)
    expires = datetime.fromisoformat(body["expires"])
    return Invite(
        id,
        body["code_hash"],
        body["role"],
        tuple(body["sites"]),
        body["as"],
        by,
        expires,
        spent_by,
        bool(withdrawn),
    )


def _time(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def _text(at: datetime | None) -> str | None:
    return stamp(at) if at else None
