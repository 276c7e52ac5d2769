"""Result of one turn of the talk."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Check, Prompt
from doorround.domain.door import Door
from doorround.domain.entries import Entry


@dataclass(frozen=True)
class Turn:
    """One turn as a value: the check after it, what to say, what to enter. Nothing is sent or saved
    here.

    door: the changed door, if the turn changed a register field. message: the message as received,
    entered before the turn's other entries. aside: the check is paused for another door.
    """

    check: Check
    say: tuple[Prompt, ...]
    enter: tuple[Entry, ...] = ()
    door: Door | None = None
    message: Entry | None = None
    aside: bool = False
