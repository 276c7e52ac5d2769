"""Invites: codes for one use, of which only the hash is kept."""

from __future__ import annotations

import hmac
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from hashlib import sha256

# no i, l, o, 0, 1: read off a screen or a sheet of paper they are taken for each other
SIGNS = "abcdefghjkmnpqrstuvwxyz23456789"
CODE_SIGNS = 16
"""16 of 31 signs are 79 bits of chance: too many to try."""
DAYS_OPEN = 7
MESSAGE_DAYS = 30
"""How long messages are kept as they came and went."""
_HEADING = b"doorround invite 1\n"


class InviteEnd(StrEnum):
    """Why nobody can join by an invite any more."""

    USED = "used"
    TAKEN_BACK = "taken back"
    RUN_OUT = "run out"


@dataclass(frozen=True)
class Invite:
    """An invite as the logbook has it.

    id: eight digits to call it by. code_hash: see `hash_of`. name: as whom the person will stand in
    the logbook; None for the name that the messenger shows. by: who invited. expires: UTC.
    spent_by: who joined by it.
    withdrawn: taken back.
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
        """Why nobody can join by it any more; None where one can. now: UTC."""
        if self.spent_by is not None:
            return InviteEnd.USED
        if self.withdrawn:
            return InviteEnd.TAKEN_BACK
        return InviteEnd.RUN_OUT if now >= self.expires else None


def new_code(chance: bytes) -> str:
    """A code such as "kx7m-2p4d-9wrt-h3cn". chance: 16 random bytes.

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
    """The code that was typed, in its one form, whatever its capitals, blanks and dashes; None
    where it is no code.
    """
    signs = "".join(text.lower().replace("-", " ").split())
    if len(signs) != CODE_SIGNS or not set(signs) <= set(SIGNS):
        return None
    return "-".join(signs[at : at + 4] for at in range(0, CODE_SIGNS, 4))


def hash_of(code: str) -> str:
    """What is kept of a code: SHA-256, 64 hexadecimal digits."""
    return sha256(_HEADING + code.encode()).hexdigest()


def invite_of(code: str, invites: Iterable[Invite]) -> Invite | None:
    """The invite that a code belongs to.

    Every one is compared, each in the same time, whichever fits.
    """
    wanted = hash_of(code)
    found = None
    for invite in invites:
        if hmac.compare_digest(invite.code_hash, wanted):
            found = invite
    return found
