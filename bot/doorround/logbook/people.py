"""Changes to people: invites, joining, roles, leaving, groups.

Everything is an entry; one transaction per action.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any

from doorround.domain.entries import Entry, EntryKind
from doorround.domain.invites import Invite, hash_of, invite_of
from doorround.domain.people import Account, Person, Role, free_name, plain_name, unsupervised
from doorround.domain.stranger_limits import FORGOTTEN_AFTER, StrangerAttempts
from doorround.logbook.errors import LogbookError
from doorround.logbook.people_reader import PeopleReader
from doorround.logbook.turn_events import stamp
from doorround.messages import people as messages


class People(PeopleReader):
    """The people of a logbook.

    Times are aware; by: name of the person acting, as in the logbook.
    """

    # ---- invites

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
        """Store an invite by the hash of its code. days: validity.

        name: of the person, or of somebody known who has a new account; None for the name shown by
        the messenger. Raises LogbookError if that number is taken.
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
        """Withdraw an open invite. Raises LogbookError if it is unknown or no longer open."""
        with self._logbook.writing():
            found = self._invite(id)
            if found is None:
                raise LogbookError(f"There is no invite {id}. See: doorround people list.")
            if end := found.closed(now):
                raise LogbookError(messages.invite_closed(end))
            self._enter(EntryKind.INVITE_WITHDRAWN, by, now, {"invite": id})

    def open_invite(
        self, account: Account, code: str, shown: str, consent: str, now: datetime
    ) -> None:
        """Record that somebody opened an invite and was asked to agree to `consent`. shown: name on
        the messenger. Raises LogbookError if no invite has that code.
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

    def decline(self, account: Account) -> None:
        """Forget that this account opened an invite. The invite stays open."""
        with self._logbook.writing():
            self._logbook._db.conn.execute("DELETE FROM joining WHERE account = ?", (account.talk,))

    def forget(self, account: Account) -> None:
        """Delete everything about an account that belongs to nobody: an invite opened, an attempted
        contact.
        """
        with self._logbook.writing():
            for table in ("joining", "strangers"):
                self._logbook._db.conn.execute(
                    f"DELETE FROM {table} WHERE account = ?", (account.talk,)
                )

    def forget_undecided(self, before: datetime) -> None:
        """Delete records of invites opened before that time and never answered."""
        with self._logbook.writing():
            self._logbook._db.conn.execute(
                "DELETE FROM joining WHERE updated < ?", (stamp(before),)
            )

    def join(self, account: Account, now: datetime) -> Person:
        """Bind an account to a person, after they agreed to the consent line: two entries, "joined"
        and "consent given".

        Raises LogbookError worded for the person: used, withdrawn or expired meanwhile, or no
        invite opened.
        """
        with self._logbook.writing():
            standing = self.joining(account)
            if standing is None:
                raise LogbookError(messages.NO_INVITE_OPEN)
            invite, consent = standing
            if end := invite.closed(now):
                raise LogbookError(messages.invite_closed(end))
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

    # ---- changes

    def change_role(
        self, name: str, role: Role, sites: tuple[str, ...] | None, by: str, now: datetime
    ) -> Person:
        """Change somebody's role or sites; sites: None leaves them. Raises LogbookError for a
        person who has left, and if a site would be left without a supervisor.
        """
        with self._logbook.writing():
            person = self.person(name)
            if person.gone:
                raise LogbookError(messages.left(name))
            after = replace(
                person, role=role.value, sites=person.sites if sites is None else tuple(sites)
            )
            self._keep_a_supervisor(person, after)
            changed = {"name": name, "role": after.role, "sites": list(after.sites)}
            self._enter(EntryKind.ROLE_CHANGED, by, now, changed)
            return self.person(name)

    def leave(self, name: str, by: str, now: datetime, *, even_last: bool = False) -> None:
        """Remove a person's access. Their entries remain. Raises LogbookError if they have left
        already, and if a site would be left without a supervisor. even_last: allow the latter.
        """
        with self._logbook.writing():
            person = self.person(name)
            if person.gone:
                raise LogbookError(messages.left_already(name))
            if not even_last:
                self._keep_a_supervisor(person, replace(person, gone=True))
            body = {"name": name, "role": person.role, "sites": list(person.sites)}
            self._enter(EntryKind.PERSON_LEFT, by, now, body)

    def _keep_a_supervisor(self, before: Person, after: Person) -> None:
        others = [person for person in self._logbook.people() if person.name != before.name]
        sites = {door.site for door in self._logbook.doors()} | set(before.sites)
        bare = unsupervised(before, after, others, sites)
        if bare is not None:
            raise LogbookError(messages.last_supervisor(bare))

    # ---- groups

    def bind_group(self, group: str, site: str, by: str, now: datetime) -> None:
        """Bind a group chat to a site. group: name of the chat, "telegram/-4711"."""
        with self._logbook.writing():
            self._enter(EntryKind.GROUP_BOUND, by, now, {"group": group, "site": site})

    # ---- strangers

    def remember(self, account: Account, attempts: StrangerAttempts, now: datetime) -> None:
        """Record what an unknown account did; records older than a day are deleted."""
        with self._logbook.writing():
            conn = self._logbook._db.conn
            conn.execute("DELETE FROM strangers WHERE updated < ?", (stamp(now - FORGOTTEN_AFTER),))
            conn.execute(
                """INSERT INTO strangers (account, told, tries, tried, updated)
                    VALUES (?, ?, ?, ?, ?)
                ON CONFLICT (account) DO UPDATE SET told = excluded.told, tries = excluded.tries,
                    tried = excluded.tried, updated = excluded.updated""",
                (
                    account.talk,
                    _text(attempts.answered),
                    attempts.tries,
                    _text(attempts.tried),
                    stamp(now),
                ),
            )

    def _enter(self, kind: EntryKind, by: str, now: datetime, body: Mapping[str, Any]) -> None:
        self._logbook._enter([Entry(kind=kind, at=now, person=by, body=dict(body))])


def _text(at: datetime | None) -> str | None:
    return stamp(at) if at else None
