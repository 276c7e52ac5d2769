"""Payload of a link or QR code: at most 64 of A–Z a–z 0–9 _ -, which messengers accept after
"start=".

    d1 KEY TOKEN    a door: the key's one-letter id, then 20 characters of HMAC-SHA-256
                    over site, building and number
    i1 CODE         an invite: its code

A door's payload contains no number, so none can be read or guessed, and all have the same length. A
door is looked up by computing the token of each door in the register.
"""

from __future__ import annotations

import hmac
import re
from base64 import urlsafe_b64encode
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from doorround.domain.door import Door
from doorround.domain.invites import as_code

MAX_LENGTH = 64
_DOOR = re.compile(r"d1([A-Za-z])([A-Za-z0-9_-]{20})", re.ASCII)
_LATER = re.compile(r"[di][0-9][A-Za-z0-9_-]*", re.ASCII)
_TOKEN_BYTES = 15


@dataclass(frozen=True)
class LinkKey:
    """A key for signing door links. id: one letter. secret: 32 random bytes. ended: revoked, so its
    links are refused.
    """

    id: str
    secret: bytes
    ended: bool = False


@dataclass(frozen=True)
class DoorLink:
    """A payload that may be a door's. key: id of its key. token: 20 characters."""

    key: str
    token: str


@dataclass(frozen=True)
class InviteLink:
    """A payload that may be an invite's. code: in canonical form."""

    code: str


class LinkProblem(StrEnum):
    """Why a link or a label cannot be resolved."""

    LATER_VERSION = "later version"
    NOT_OUR_LINK = "not our link"
    NOT_OUR_LABEL = "not our label"
    OLD_LABEL = "old label"
    NO_SUCH_DOOR = "no such door"


@dataclass(frozen=True)
class NoLink:
    """A payload that is neither."""

    why: LinkProblem


@dataclass(frozen=True)
class Labelled:
    """The door that a label was made for. called: its name at that time. before: how many other
    doors had had that name by then. door: its current register entry.
    """

    called: Door
    before: int
    door: Door


def door_payload(door: Door, key: LinkKey, before: int = 0) -> str:
    """The payload of a door's link: 23 characters. before: how many other doors had its name before
    it.

    So a label survives renumbering, and never opens the door that is given the number next.
    """
    return f"d1{key.id}{_token(door, key, before)}"


def invite_payload(code: str) -> str:
    """The payload of an invite's link: 21 characters."""
    return f"i1{code}"


def start_link(bot_name: str, payload: str) -> str:
    """The Telegram link that opens the bot with a payload. bot_name: its user name, with or without
    "@".
    """
    return f"https://t.me/{bot_name.lstrip('@')}?start={payload}"


def read_payload(payload: str) -> DoorLink | InviteLink | NoLink:
    """Classify a payload by its form alone."""
    if found := _DOOR.fullmatch(payload):
        return DoorLink(*found.groups())
    if payload.startswith("i1") and len(payload) <= MAX_LENGTH and (code := as_code(payload[2:])):
        return InviteLink(code)
    if _LATER.fullmatch(payload) and payload[1] != "1":
        return NoLink(LinkProblem.LATER_VERSION)
    return NoLink(LinkProblem.NOT_OUR_LINK)


def door_of(
    link: DoorLink, doors: Iterable[Door | Labelled], keys: Iterable[LinkKey]
) -> Door | LinkProblem:
    """The door that a link was made for, or why it cannot be resolved."""
    key = next((key for key in keys if key.id == link.key), None)
    if key is None:
        return LinkProblem.NOT_OUR_LABEL
    if key.ended:
        return LinkProblem.OLD_LABEL
    found = None
    for each in doors:
        label = each if isinstance(each, Labelled) else Labelled(each, 0, each)
        if hmac.compare_digest(_token(label.called, key, label.before), link.token):
            found = label.door
    return found or LinkProblem.NO_SUCH_DOOR


def _token(door: Door, key: LinkKey, before: int) -> str:
    # length-prefixed, so that "A" in "BC" cannot collide with "AB" in "C"
    parts = (part.encode() for part in (door.site, door.building, door.number))
    named = b"doorround door 1\n" + b"".join(b"%d:%s," % (len(part), part) for part in parts)
    named += b"%d" % before if before else b""
    return urlsafe_b64encode(hmac.digest(key.secret, named, "sha256")[:_TOKEN_BYTES]).decode()
