"""Prompts in the terminal: a line of text, single choice, multiple choice, yes or no.

On a terminal, choices use the arrow keys; otherwise each is a numbered line, and the answer is read
from standard input, so that scripts and screen readers work too.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import typer

NOBODY = "Nobody answered, so nothing was written. In a script, give the options and --yes."


@dataclass(frozen=True)
class Option:
    """value: what it stands for. label: as shown."""

    value: str
    label: str


def ask_text(
    question: str, default: str, check: Callable[[str], object], hidden: bool = False
) -> str:
    """A line; the default for an empty line, "" for "-". Asks again while check rejects it.

    check: raises ValueError saying what to write. hidden: the default is not shown. Raises
    ValueError if input ends.
    """
    shown = "set" if hidden and default else default
    hint = f" [{shown}; - for none]" if shown else ""
    while True:
        typed = _line(f"{question}{hint} ").strip()
        answer = "" if typed == "-" else typed or default
        try:
            if answer:
                check(answer)
        except ValueError as error:
            typer.echo(f"  {error}")
            continue
        return answer


def choose_one(question: str, choices: Sequence[Option], default: str) -> str:
    """The value of one choice. Raises ValueError if input ends."""
    at = next((place for place, each in enumerate(choices) if each.value == default), 0)
    typer.echo(question)
    if _can_use_arrows():
        [chosen] = _arrows(choices, at, {at}, several=False)
    else:
        [chosen] = _numbers(choices, {at}, several=False)
    return choices[chosen].value


def choose_some(question: str, choices: Sequence[Option], default: Sequence[str]) -> list[str]:
    """The values of any of the choices. Raises ValueError if input ends."""
    chosen = {place for place, each in enumerate(choices) if each.value in default}
    typer.echo(question)
    found = (
        _arrows(choices, 0, chosen, several=True)
        if _can_use_arrows()
        else _numbers(choices, chosen, several=True)
    )
    return [each.value for place, each in enumerate(choices) if place in found]


def agree(question: str) -> bool:
    """Whether the answer is yes; Enter means yes. Raises ValueError if input ends."""
    while True:
        typed = _line(f"{question} [Y/n]: ").strip().lower()
        if typed in ("", "y", "yes"):
            return True
        if typed in ("n", "no"):
            return False
        typer.echo("  Write y or n.")


def _line(prompt: str) -> str:
    typer.echo(prompt, nl=False)
    line = sys.stdin.readline()
    if not line:
        typer.echo()
        raise ValueError(NOBODY)
    if not sys.stdin.isatty():
        typer.echo()
    return line


def _can_use_arrows() -> bool:
    return sys.stdin.isatty() and sys.stdout.isatty()


def _numbers(choices: Sequence[Option], chosen: set[int], several: bool) -> set[int]:
    for place, each in enumerate(choices):
        typer.echo(f"  {place + 1}  {each.label}")
    default = " ".join(str(place + 1) for place in sorted(chosen)) or "none"
    what = "Numbers with spaces, - for none" if several else "Number"
    while True:
        typed = _line(f"{what} [{default}]: ").replace(",", " ").split()
        if not typed:
            return chosen
        if typed == ["-"] and several:
            return set()
        found = {int(each) - 1 for each in typed if each.isdecimal()}
        right = len(found) == len(typed) and all(0 <= each < len(choices) for each in found)
        if right and (several or len(found) == 1):
            return found
        typer.echo(f"  Write {'some' if several else 'one'} of the numbers 1 to {len(choices)}.")


def _arrows(choices: Sequence[Option], at: int, chosen: set[int], several: bool) -> set[int]:
    import questionary
    from prompt_toolkit.output import create_output

    # some terminals never report the cursor position; it is not needed here
    os.environ.setdefault("PROMPT_TOOLKIT_NO_CPR", "1")
    offered = [
        questionary.Choice(each.label, place, checked=several and place in chosen)
        for place, each in enumerate(choices)
    ]
    looks: dict[str, Any] = {
        "message": "",
        "qmark": "",
        # bypasses escaping of control characters: these lines are the program's own
        "output": create_output(getattr(sys.stdout, "raw_stream", sys.stdout)),
    }
    how = "space ticks, Enter goes on" if several else "Enter takes it"
    looks["instruction"] = f"(arrow keys move, {how})"
    try:
        if several:
            return set(questionary.checkbox(choices=offered, **looks).unsafe_ask())
        return {questionary.select(choices=offered, default=offered[at], **looks).unsafe_ask()}
    except EOFError:
        raise ValueError(NOBODY) from None
