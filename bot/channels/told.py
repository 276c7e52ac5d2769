"""What a messenger is to do for whoever writes: values that reception and orders give back."""

from __future__ import annotations

from dataclasses import dataclass

from bot.domain.check import Prompt
from bot.domain.door import Door
from bot.domain.people import Account


@dataclass(frozen=True)
class Aside:
    """What somebody else is told. moved_on: as of Told."""

    account: Account
    say: tuple[Prompt, ...]
    moved_on: bool = False


@dataclass(frozen=True)
class Told:
    """What to answer; nothing, where empty. data_of: whose own data is sent as a file. also: what others are told.

    moved_on: the talk of this chat stands elsewhere now, so that buttons from before are stale.
    """

    say: tuple[Prompt, ...] = ()
    data_of: str | None = None
    also: tuple[Aside, ...] = ()
    moved_on: bool = False


@dataclass(frozen=True)
class AtDoor:
    """A known person is at a door, or wants to be: begin its check. door: None to ask which."""

    door: Door | None


def tell(text: str, taps: tuple[str, ...] = (), also: tuple[Aside, ...] = ()) -> Told:
    """One line as the answer."""
    return Told((Prompt(text=text, taps=taps),), also=also)
