"""People who joined by an invite, for the tests of people and rounds."""

from __future__ import annotations

import small_visit as visit

from doorround.domain.invites import new_code
from doorround.domain.people import Account, Role
from doorround.logbook.people import People
from doorround.logbook.store import Logbook

SAM = Account("telegram", "4711")
KIM = Account("telegram", "815")


def join(
    logbook: Logbook,
    account: Account,
    shown: str,
    role: Role = Role.CARETAKER,
    minute: float = 0,
    sites: tuple[str, ...] = (),
    name: str | None = None,
) -> str:
    code = new_code(f"{account.id}{minute:012.1f}{shown}xxxxxxxxxx".encode()[:16])
    people = People(logbook)
    people.invite(code, role, sites, 7, "Mona", visit.at(minute), name)
    people.open_invite(account, code, shown, "Do you agree?", visit.at(minute))
    return people.join(account, visit.at(minute)).name
