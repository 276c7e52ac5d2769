"""Reads people from the logbook: people, accounts, invites, groups, strangers."""

from __future__ import annotations

import json
from datetime import datetime
from typing import Any

from doorround.domain.invites import Invite
from doorround.domain.people import Account, Person
from doorround.domain.stranger_limits import StrangerAttempts
from doorround.logbook.errors import UnknownPersonError
from doorround.logbook.records import read_person
from doorround.logbook.store import Logbook

_NUMBERS = """SELECT number, name FROM (
    SELECT min(seq) AS number, json_extract(body, '$.name') AS name FROM entries
    WHERE kind IN ('person added', 'person joined', 'role changed', 'person left')
    GROUP BY json_extract(body, '$.name')
) WHERE true"""
_INVITE = "SELECT invite, body, person, spent_by, withdrawn FROM invites"


class PeopleReader:
    """Read access to the people of a logbook."""

    def __init__(self, logbook: Logbook) -> None:
        self._logbook = logbook

    # ---- known people

    def person(self, name: str) -> Person:
        """The person of that name. Raises UnknownPersonError."""
        rows = self._logbook._rows(
            "SELECT name, role, at, sites, gone FROM people WHERE name = ?", name
        )
        if not rows:
            raise UnknownPersonError(f"Nobody called {name} is known. See: doorround people list.")
        return read_person(rows[0])

    def number(self, name: str) -> int:
        """This person's permanent number: that of the first entry about them.

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
        """Whose account this is; None if nobody's, or if the person has left."""
        sql = "SELECT name FROM accounts WHERE channel = ? AND account = ?"
        for (name,) in self._logbook._rows(sql, account.channel, account.id):
            person = self.person(name)
            return None if person.gone else person
        return None

    def accounts(self, name: str) -> list[Account]:
        """A person's accounts, newest first."""
        rows = self._logbook._rows(
            "SELECT channel, account FROM accounts WHERE name = ? ORDER BY seq DESC", name
        )
        return [Account(channel, id) for channel, id in rows]

    def roles(self, channel: str) -> dict[Account, str]:
        """The role for each account of a channel that belongs to somebody."""
        sql = """SELECT a.channel, a.account, p.role FROM accounts AS a JOIN people AS p
            ON p.name = a.name
            WHERE a.channel = ? AND NOT p.gone"""
        return {
            Account(channel, id): role for channel, id, role in self._logbook._rows(sql, channel)
        }

    # ---- invites

    def invites(self) -> list[Invite]:
        """Every invite ever made, in order of creation."""
        return [_invite(row) for row in self._logbook._rows(f"{_INVITE} ORDER BY seq")]

    def joining(self, account: Account) -> tuple[Invite, str] | None:
        """The invite that this account opened, and the consent line shown; None if it
        opened none.
        """
        for id, consent in self._logbook._rows(
            "SELECT invite, consent FROM joining WHERE account = ?", account.talk
        ):
            invite = self._invite(id)
            return (invite, consent) if invite else None
        return None

    def _invite(self, id: str) -> Invite | None:
        rows = self._logbook._rows(f"{_INVITE} WHERE invite = ?", id)
        return _invite(rows[0]) if rows else None

    # ---- groups and strangers

    def groups(self) -> dict[str, str]:
        """Every bound group, with its site."""
        return {
            str(group): str(site)
            for group, site in self._logbook._rows('SELECT "group", site FROM groups')
        }

    def group_site(self, group: str) -> str | None:
        """The site that a group is bound to; None if none."""
        rows = self._logbook._rows('SELECT site FROM groups WHERE "group" = ?', group)
        return str(rows[0][0]) if rows else None

    def attempts(self, account: Account) -> StrangerAttempts:
        """What an unknown account did within the last day."""
        sql = "SELECT told, tries, tried FROM strangers WHERE account = ?"
        for answered, tries, tried in self._logbook._rows(sql, account.talk):
            return StrangerAttempts(_time(answered), int(tries), _time(tried))
        return StrangerAttempts()


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
