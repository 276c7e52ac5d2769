"""A message from a caretaker, and the reply to it."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Prompt
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard


@dataclass(frozen=True)
class Incoming:
    """One message from a caretaker. id: the same for a message delivered twice. recording: the
    bytes as received. forwarded: an earlier message of the caretaker's. early: sent before what
    waits for a yes or a signature was shown.
    """

    id: str
    text: str | None = None
    recording: bytes | None = None
    tapped: bool = False
    forwarded: bool = False
    early: bool = False


@dataclass(frozen=True)
class TalkReply:
    """What to say, and what was understood. heard is None for a message already processed.
    asks_door: it asks which door is next, or where to continue a check.
    """

    say: tuple[Prompt, ...]
    heard: AnyHeard | AnyDoorReference | None = None
    asks_door: bool = False
