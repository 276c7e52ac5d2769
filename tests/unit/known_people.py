"""People let in by an invite, and what they order, for the tests of access."""

from __future__ import annotations

import small_visit as visit

from doorround.channels.messenger.access import Access
from doorround.channels.messenger.results import Reply, StartCheck
from doorround.domain.invites import new_code
from doorround.domain.links import LinkKey
from doorround.domain.people import Account, Role
from doorround.logbook.people import People

SAM = Account("telegram", "1")
KIM = Account("telegram", "2")
EVE = Account("telegram", "3")
KEY = LinkKey("a", b"k" * 32)


def words(told: object) -> str:
    assert isinstance(told, Reply)
    return "\n".join(prompt.text for prompt in told.say)


def let_in(
    access: Access, account: Account, shown: str, role: Role, sites: tuple[str, ...] = ()
) -> None:
    code = new_code(access.chance(16))
    People(access.logbook).invite(code, role, sites, 7, "Mona", visit.at(0))
    access.stranger(account, shown, f"/start i1{code}", visit.at(0))
    access.stranger(account, shown, "I agree", visit.at(0))
    assert access.known(account) is not None


def order(
    access: Access, account: Account, text: str, group: str | None = None
) -> Reply | StartCheck | None:
    person = access.known(account)
    assert person is not None
    return access.order(person, text, visit.at(9), group)
