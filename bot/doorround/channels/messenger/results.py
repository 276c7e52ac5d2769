"""What a messenger is to do for whoever writes: values that access and commands give back."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Check, Prompt
from doorround.domain.door import Door
from doorround.domain.people import Account


@dataclass(frozen=True)
class Notification:
    """What somebody else is told. moved_on: as of Told."""

    account: Account
    say: tuple[Prompt, ...]
    moved_on: bool = False


@dataclass(frozen=True)
class Reply:
    """What to answer; nothing, where empty. data_of: whose own data is sent as a file. also: what
    others are told.

    pass_on: a message of its own, for somebody that only who is answered can reach.
    moved_on: the talk of this chat stands elsewhere now, so that buttons from before are stale.
    forget: nothing of this chat is kept, the answer itself only until it is sent.
    """

    say: tuple[Prompt, ...] = ()
    data_of: str | None = None
    pass_on: str = ""
    also: tuple[Notification, ...] = ()
    moved_on: bool = False
    forget: bool = False


@dataclass(frozen=True)
class StartCheck:
    """A known person is at a door, or wants to be: begin its check. door: None to ask which. look:
    a short visit to what was repaired there.
    """

    door: Door | None
    look: bool = False


def tell(
    text: str,
    taps: tuple[str, ...] = (),
    also: tuple[Notification, ...] = (),
    does: tuple[str, ...] = (),
) -> Reply:
    """One line as the answer. does: as of Prompt."""
    return Reply((Prompt(text=text, taps=taps, does=does),), also=also)


def still_asked(check: Check) -> tuple[Prompt, ...]:
    """What an open check waits for, without what was said before it."""
    asking = tuple(prompt for prompt in check.said if prompt.question or prompt.taps)
    return asking[-1:] or check.said
