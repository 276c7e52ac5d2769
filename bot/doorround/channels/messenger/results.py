"""Results of access and commands: what the messenger is to do for the sender."""

from __future__ import annotations

from dataclasses import dataclass

from doorround.domain.check import Check, Prompt
from doorround.domain.door import Door
from doorround.domain.people import Account


@dataclass(frozen=True)
class Notification:
    """A notification to somebody else. moved_on: as in Reply."""

    account: Account
    say: tuple[Prompt, ...]
    moved_on: bool = False


@dataclass(frozen=True)
class Reply:
    """The reply; none if empty. data_of: whose personal data is attached as a file. also:
    notifications to others.

    pass_on: a separate message to forward, for somebody that only the recipient can reach.
    moved_on: this chat's talk has moved elsewhere, so earlier buttons are stale. forget: nothing
    about this chat is stored, and the reply itself only until sent.
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
    a short visit to repairs there.
    """

    door: Door | None
    look: bool = False


def tell(
    text: str,
    taps: tuple[str, ...] = (),
    also: tuple[Notification, ...] = (),
    does: tuple[str, ...] = (),
) -> Reply:
    """A one-line reply. does: as in Prompt."""
    return Reply((Prompt(text=text, taps=taps, does=does),), also=also)


def still_asked(check: Check) -> tuple[Prompt, ...]:
    """An open check's current question, without anything said before it."""
    asking = tuple(prompt for prompt in check.said if prompt.question or prompt.taps)
    return asking[-1:] or check.said
