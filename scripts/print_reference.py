"""Generate docs/reference.md, the reference of commands and settings, from the code.

python -m scripts.print_reference prints it; --write writes the page.
"""

from __future__ import annotations

import argparse
import inspect
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import typer.main

from doorround.cli.app import app
from doorround.cli.old_names import RENAMED
from doorround.config.catalogue import GROUPS, Setting

PAGE = Path(__file__).parents[1] / "docs" / "reference.md"
HEAD = """# Reference of commands and settings

Generated from the code by `python -m scripts.print_reference --write`; edit it there. For
explanations, see the pages for the [caretaker](caretaker.md), the [supervisor](supervisor.md), the
[auditor](auditor.md) and the [administrator](running.md).

`-h` and `--help` show help for every command, `--version` prints the version, and
`--install-completion` sets up completion in your shell. Listings are tables in a terminal and
plain columns in a pipe; each takes `--json`, one object per line. Colour is used only in a
terminal, and not if `NO_COLOR` is set.

| exit code | when |
|---|---|
| 0 | done |
| 1 | done, but something is wrong: `logbook verify` found a change, `play` a difference, `hear` a missing file, `grammar check` two answers that sound too alike, `settings check` or `doctor` something to fix |
| 2 | refused: a line on the error output says why, and what to do |
| 141 | the reader closed the pipe, as `head` does |
"""  # noqa: E501
SETTINGS_HEAD = """
## Settings

From an environment variable, or from `doorround.toml` in the data folder; `DOORROUND_SETTINGS`
names another file. The variable takes precedence. `doorround settings show` lists each value and
where it comes from, `doorround settings check` what is wrong. An unknown name is refused, with the
nearest valid one. `DOORROUND_SPEECH` is for tests and benchmarks: a folder of human speech.
`DOORROUND_FUZZ` is for the tests only: how many door files they generate, by default 400.
"""


def page() -> str:
    """The whole page, as Markdown."""
    command = typer.main.get_command(app)
    parts = [HEAD, "\n## Commands\n", *commands(command, "doorround"), *renamed()]
    parts.append(SETTINGS_HEAD)
    for title, group in GROUPS.items():
        parts.append(f"\n### {title}\n\n{settings_table(group)}")
    return "".join(parts)


def commands(command: Any, words: str) -> Iterator[str]:
    """A section for each command in a group, in the order of its help."""
    if hasattr(command, "commands"):
        for name in sorted(command.commands):
            yield from commands(command.commands[name], f"{words} {name}")
        return
    arguments = [each for each in command.params if each.param_type_name == "argument"]
    usage = " ".join([words, *(_argument(each) for each in arguments)])
    yield f"\n### `{usage}`\n\n{inspect.cleandoc(command.help or '')}\n"
    rows = [_row(each) for each in command.params if each.name != "help"]
    if rows:
        yield "\n| | |\n|---|---|\n" + "\n".join(rows) + "\n"


def _argument(parameter: Any) -> str:
    name = parameter.metavar or parameter.name.upper()
    name += "…" if parameter.nargs == -1 else ""
    return name if parameter.required else f"[{name}]"


def _row(parameter: Any) -> str:
    about = " ".join((parameter.help or "").split()).replace("|", "\\|")
    if parameter.param_type_name == "argument":
        return f"| `{_argument(parameter)}` | {about} |"
    names = ", ".join(f"`{each}`" for each in (*parameter.opts, *parameter.secondary_opts))
    if parameter.required:
        about += " Required."
    elif _tells(parameter.default):
        about += f" Default: `{parameter.default}`."
    return f"| {names} | {about} |"


def _tells(default: Any) -> bool:
    return default is not None and default is not False and default not in ("", ())


def renamed() -> Iterator[str]:
    """The old names that still work."""
    yield "\n### Old names\n\nThey work in this release and not in the next.\n\n"
    yield "| old | now |\n|---|---|\n"
    for (group, old), new in sorted(RENAMED.items()):
        words = "doorround" if group == "doorround" else f"doorround {group}"
        yield f"| `{words} {old}` | `{words} {new}` |\n"


def settings_table(group: tuple[Setting, ...]) -> str:
    """The settings of a group as a table."""
    rows = [f"| {_names(each)} | {_sentence(each.meaning)} | {each.unset} |" for each in group]
    return "\n".join(["| setting | meaning | if not set |", "|---|---|---|", *rows]) + "\n"


def _names(setting: Setting) -> str:
    key = f'"{setting.key}"' if " " in setting.key else setting.key
    here = f"`{key}` in `[{setting.table}]`" if setting.table else f"`{key}`"
    return f"{here}, `{setting.variable}`" if setting.variable else here


def _sentence(text: str) -> str:
    return text.replace("|", "\\|")


def main() -> None:
    """Print or write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--write", action="store_true", help=f"write {PAGE.name}")
    if parser.parse_args().write:
        PAGE.write_text(page(), encoding="utf-8")
    else:
        print(page(), end="")


if __name__ == "__main__":
    main()
