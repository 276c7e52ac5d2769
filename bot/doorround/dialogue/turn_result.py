"""What one turn of the talk comes to."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Check, Prompt
from doorround.domain.door import Door
from doorround.domain.entries import Entry


@dataclass(frozen=True)
class Turn:
    """One turn as a value: the check after it, what to say, what to enter. Nothing is sent or saved
    here.

    door: the door with a newly learnt field, when the turn filled one in the register. message:
    what came in, as it came; entered before what the turn enters. aside: the check is left for
    another door.
    """

    check: Check
    say: tuple[Prompt, ...]
    enter: tuple[Entry, ...] = ()
    door: Door | None = None
    message: Entry | None = None
    aside: bool = False
