"""doorround chat: how a talk in the terminal begins, and how to leave it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from doorround.channels.talk.exchange import TalkReply
    from doorround.channels.talk.talk import Talk
    from doorround.domain.door import Door
    from doorround.logbook.store import Logbook


def tell_help(models: Path) -> None:
    """How to answer, and which engines are used. models: the models folder."""
    from doorround.channels.terminal.terminal import HELP_LINE
    from doorround.hearing.model_files.installed_models import installed_engines

    typer.echo(HELP_LINE)
    ready = ", ".join(engine.name for engine in installed_engines(models) if engine.ready)
    typer.echo(f"Engines here: {ready}. For better recognition: doorround models list.")


def taken_up(talk: Talk, logbook: Logbook, wanted: Door | None) -> TalkReply | None:
    """Repeats the open check's last messages; None if no check is open. wanted: the door asked for;
    if the check is of another, that is said first.
    """
    from doorround.channels.talk.exchange import TalkReply
    from doorround.logbook.open_checks import OpenCheck, at_door

    if talk.check is None:
        return None
    open_door = talk.check.door.number
    if wanted is not None and not at_door(logbook, OpenCheck(talk.chat, talk.check), wanted):
        typer.echo(
            f"Not door {wanted.number} yet: the check of door {open_door} is not finished. "
            f"Carry on with door {open_door} here, or say “another door”, then {wanted.number}."
        )
    else:
        typer.echo(f"Resuming the check of door {open_door} where it stood.")
    return TalkReply(talk.check.said)


def talk_until_kept(
    talk: Talk, first: TalkReply, clock: Callable[[], datetime], *, door_after_door: bool
) -> None:
    """Talk from the first reply until the check is over or the caretaker leaves.

    clock: the time in UTC. door_after_door: see converse().
    """
    from doorround.channels.terminal.terminal import converse, play_aloud, record_until_enter

    try:
        converse(
            talk,
            first,
            input,
            typer.echo,
            clock,
            lambda: record_until_enter(input),
            door_after_door,
            play_aloud,
        )
    except (EOFError, KeyboardInterrupt):
        typer.echo("\nSaved. Run the same command to go on.")
