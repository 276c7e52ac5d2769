"""Single-use invite codes, stored only as hashes."""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from hashlib import sha256

# no i, l, o, 0, 1: easily confused when read off a screen or paper
SIGNS = "abcdefghjkmnpqrstuvwxyz23456789"
CODE_SIGNS = 16
"""16 symbols out of 31 give 79 bits of entropy: infeasible to guess."""
DAYS_OPEN = 7
MESSAGE_DAYS = 30
"""How long messages are retained as received and sent."""
_HEADING = b"doorround invite 1\n"


class InviteEnd(StrEnum):
    """Why an invite is no longer valid."""

    USED = "used"
    TAKEN_BACK = "taken back"
    RUN_OUT = "run out"


@dataclass(frozen=True)
class Invite:
    """A stored invite.

    id: eight digits that identify it. code_hash: see `hash_of`. name: the person's name in the
    logbook; None to use the name shown by the messenger. by: who invited. expires: UTC. spent_by:
    who joined with it. withdrawn: revoked.
    """

    id: str
    code_hash: str
    role: str
    sites: tuple[str, ...]
    name: str | None
    by: str
    expires: datetime
    spent_by: str | None = None
    withdrawn: bool = False

    def closed(self, now: datetime) -> InviteEnd | None:
        """Why it is no longer valid; None if it is. now: UTC."""
        if self.spent_by is not None:
            return InviteEnd.USED
        if self.withdrawn:
            return InviteEnd.TAKEN_BACK
        return InviteEnd.RUN_OUT if now >= self.expires else None


def new_code(chance: bytes) -> str:
    """Generate a code such as "kx7m-2p4d-9wrt-h3cn". chance: 16 random bytes.

    Raises ValueError for fewer.
    """
    if len(chance) < CODE_SIGNS:
        raise ValueError(f"a code needs {CODE_SIGNS} random bytes")
    number = int.from_bytes(chance)
    signs = ""
    for _ in range(CODE_SIGNS):
        number, place = divmod(number, len(SIGNS))
        signs += SIGNS[place]
    return "-".join(signs[at : at + 4] for at in range(0, CODE_SIGNS, 4))


def as_code(text: str) -> str | None:
    """The typed code in canonical form, ignoring case, spaces and dashes; None if it is
    not a code.
    """
    signs = "".join(text.lower().replace("-", " ").split())
    if len(signs) != CODE_SIGNS or not set(signs) <= set(SIGNS):
        return None
    return "-".join(signs[at : at + 4] for at in range(0, CODE_SIGNS, 4))


def hash_of(code: str) -> str:
    """Stored hash of a code: SHA-256, 64 hexadecimal digits."""
    return sha256(_HEADING + code.encode()).hexdigest()


def invite_of(code: str, invites: Iterable[Invite]) -> Invite | None:
    """The invite that a code belongs to.

    Compares with every invite in constant time.
    """
    wanted = hash_of(code)
    found = None
    for invite in invites:
        if hmac.compare_digest(invite.code_hash, wanted):
            found = invite
    return found
