"""doorround play: replays one visit in an empty folder, and shows it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import typer

if TYPE_CHECKING:
    from doorround.wiring import EngineLoader


def replayed_as_written(
    path: Path, loader: EngineLoader, pace: float, *, quiet: bool, logbook: bool
) -> bool:
    """Whether a visit goes as scripted; prints every difference.

    pace: seconds to wait before each line. quiet: show only differences. logbook: show the entries.
    """
    from doorround.channels.replay.replay import Replay
    from doorround.channels.replay.transcript import read_script
    from doorround.config.resources import load_checklist
    from doorround.logbook.listing import show_lines
    from doorround.wiring import load_understanding

    with _empty_folder() as folder:
        script = read_script(path)
        player = Replay(script, folder, load_understanding(), loader, load_checklist())
        if not quiet:
            if any(line.by == "voice" for line in script.lines):
                loader()
                typer.echo(loader.line)
            typer.echo(f"\n— {script.title} —\n")
            player.show = _shower(pace)
        with player.play() as kept:
            if logbook:
                typer.echo("\n— the logbook —\n")
                for line in show_lines(kept):
                    typer.echo(line)
        for difference in player.differences:
            typer.secho(f"{path.name}, {difference}", fg="red", err=True)
        return not player.differences


@contextmanager
def _empty_folder() -> Iterator[Path]:
    import tempfile

    with tempfile.TemporaryDirectory(prefix="doorround-", ignore_cleanup_errors=True) as folder:
        yield Path(folder)


def _shower(pace: float):  # type: ignore[no-untyped-def]
    import time

    def show(who: str, text: str) -> None:
        if pace:
            time.sleep(pace)
        if not who:
            typer.secho(f"[{text}]", dim=True)
        elif who.startswith("bot"):
            typer.echo(f"{who}: {text}")
        else:
            typer.secho(f"{who}: {text}", bold=True)

    return show
