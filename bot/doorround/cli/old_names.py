"""Renamed commands: the old name works for one more release, with a line giving the new one."""

from __future__ import annotations

from typing import Any

import typer

RENAMED: dict[tuple[str, str], str] = {
    ("doors", "fit"): "in-service",
    ("doors", "out"): "out-of-service",
    ("doors", "refused"): "no-access",
    ("people", "leave"): "remove",
    ("doorround", "nudges"): "reminders",
    ("doorround", "often"): "intervals",
}
"""By group and old name. Remove an entry one release after it was added."""


def new_name(group: str | None, name: str) -> str:
    """The current name of a command; reported on stderr if it differs."""
    now = RENAMED.get((group or "", name))
    if now is None:
        return name
    before = "" if group == "doorround" else f"{group} "
    typer.echo(
        f"doorround: “{before}{name}” is now “{before}{now}”. "
        "The old name works in this release and not in the next.",
        err=True,
    )
    return now


class RenamedCommands(typer.core.TyperGroup):
    """A group of commands that also accepts their old names."""

    def get_command(self, ctx: Any, cmd_name: str) -> Any:
        """The command with that name, or with its current name."""
        return super().get_command(ctx, new_name(self.name, cmd_name))
