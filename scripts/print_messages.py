"""Print all that the bot says on one page, docs/messages.md, to be read at one sitting by somebody
who knows no Python.

Run: python -m scripts.print_messages [--write]
"""

from __future__ import annotations

import argparse
import inspect
import pkgutil
import re
import sys
from collections.abc import Callable, Iterator
from importlib import import_module
from pathlib import Path
from types import ModuleType
from typing import Any

from doorround import messages

PAGE = Path(__file__).resolve().parent.parent / "docs" / "messages.md"
HEAD = """# What the bot says

Every message, with example values, module by module as in `bot/doorround/messages/`. Questions,
the names of parts and faults, and what to do about them come from the checklist
(`bot/doorround/domain/checklists/routine.toml`).

Printed by `python -m scripts.print_messages --write`: to mend a message, mend it in its module,
then print the page again.
"""
NOT_SAID = ("phrasing",)
"""Modules whose functions are no messages by themselves."""


def modules() -> list[ModuleType]:
    """The modules of messages, by name."""
    names = sorted(each.name for each in pkgutil.iter_modules(messages.__path__))
    return [import_module(f"doorround.messages.{name}") for name in names if name not in NOT_SAID]


def texts(module: ModuleType) -> Iterator[tuple[str, str, list[str]]]:
    """Name, what it is for, and wordings of each message of a module, in the order of the file."""
    own = set(re.findall(r"^([A-Z][A-Z_]+) = ", inspect.getsource(module), re.M))
    for name, value in vars(module).items():
        if name in own and isinstance(value, str | tuple):
            yield name, "", [" · ".join(value) if isinstance(value, tuple) else value]
        elif inspect.isfunction(value) and value.__module__ == module.__name__ and name[0] != "_":
            yield name, inspect.getdoc(value) or "", wordings(module, name, value)


def wordings(module: ModuleType, name: str, message: Callable[..., Any]) -> list[str]:
    """A message with its first example values, and with each of the others in turn; the same
    wording once.
    """
    spot = f"{module.__name__.rpartition('.')[2]}.{name}"
    values = {each: examples(spot, each) for each in inspect.signature(message).parameters}
    first = {each: some[0] for each, some in values.items()}
    varied = [{**first, each: other} for each, some in values.items() for other in some[1:]]
    return list(dict.fromkeys(_text(message(**kwargs)) for kwargs in (first, *varied)))


def _text(said: Any) -> str:
    return "\n".join(said) if isinstance(said, list) else str(getattr(said, "text", said))


def examples(spot: str, parameter: str) -> tuple[Any, ...]:
    """Example values of a parameter. Raises KeyError where there are none."""
    known = import_module("scripts.message_examples")
    found = known.OF_FUNCTION.get(f"{spot}.{parameter}") or known.EXAMPLES.get(parameter)
    if not found:
        raise KeyError(f"{spot}: give {parameter} an example value in scripts/message_examples.py")
    values: tuple[Any, ...] = found
    return values


def section(module: ModuleType) -> str:
    """The messages of one module."""
    title = module.__name__.rpartition(".")[2].replace("_", " ").capitalize()
    lines = [f"## {title}", "", inspect.getdoc(module) or "", ""]
    for name, purpose, said in texts(module):
        first, *others = (each.replace("\n", "<br>") for each in said)
        about = f" {' '.join(purpose.split())}" if purpose else ""
        lines += [f"- {first} (`{name}`){about}", *(f"  - {each}" for each in others)]
    return "\n".join((*lines, ""))


def page() -> str:
    """The whole page."""
    return "\n".join((HEAD, *map(section, modules()))).rstrip() + "\n"


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument(
        "--write", action="store_true", help="write docs/messages.md instead of printing it"
    )
    if options.parse_args().write:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        sys.stdout.write(page())


if __name__ == "__main__":
    main()
