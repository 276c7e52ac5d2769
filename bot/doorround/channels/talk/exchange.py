"""A message that came from a caretaker, and the reply to it."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Prompt
from doorround.domain.door_reference import AnyDoorReference
from doorround.domain.input_result import AnyHeard


@dataclass(frozen=True)
class Incoming:
    """One message from a caretaker. id: the same for a message delivered twice. recording: the
    bytes as they came. forwarded: the caretaker's own words from before. early: sent before what
    is read back now was shown.
    """

    id: str
    text: str | None = None
    recording: bytes | None = None
    tapped: bool = False
    forwarded: bool = False
    early: bool = False


@dataclass(frozen=True)
class TalkReply:
    """What to say, and what was heard. heard is None for a message that had been dealt with
    already. asks_door: it asks which door is next, or where a check is to go on.
    """

    say: tuple[Prompt, ...]
    heard: AnyHeard | AnyDoorReference | None = None
    asks_door: bool = False
