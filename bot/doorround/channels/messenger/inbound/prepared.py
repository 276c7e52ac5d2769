"""The slow phase of a message: its content, fetched and recognised before its turn is taken."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.channels.messenger.channel import HELD_S
from doorround.channels.messenger.inbound.conversation import Inbound
from doorround.channels.messenger.inbound.photo_messages import FetchedPhoto
from doorround.channels.messenger.inbound.reply_target import OPEN, Aim
from doorround.channels.talk.exchange import Incoming
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard

HANDED_OVER_S = 5.0
"""Seconds after which nobody knows whether a message that is being sent has arrived."""
IN_LINE_S = 8.0
"""Seconds after which somebody waiting for a free slot is notified."""


@dataclass(frozen=True)
class Patience:
    """Seconds. held: how long a chat waits for a file that cannot be fetched. later: until it is
    retried. in_line: until somebody waiting for a pool slot is notified.
    handed_over: how long a yes waits until it is known whether the read-back arrived.
    """

    held: float = HELD_S
    later: float = 120.0
    in_line: float = IN_LINE_S
    handed_over: float = HANDED_OVER_S


@dataclass(frozen=True)
class Prepared:
    """Result of the slow phase. problem: why there is nothing to take a turn on. photo: of a
    message with one. aim: the question it was recognised against.
    """

    incoming: Incoming | None
    heard: AnyHeard | AnyDoorReference | None = None
    problem: str = ""
    photo: FetchedPhoto | None = None
    aim: Aim = OPEN


def tapped(inbound: Inbound, words: str) -> Prepared:
    """A button: nothing to fetch, its words are known."""
    return Prepared(Incoming(inbound.update_id, text=words, tapped=True))
