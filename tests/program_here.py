"""The doorround command run in this process, equivalent to starting it except for start-up
behaviour. It takes a twentieth of the time.
"""

from __future__ import annotations

import io
import os
from collections.abc import Mapping
from contextlib import ExitStack
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any
from unittest.mock import patch

import typer.main
import typer.testing

from doorround import wiring
from doorround.cli.app import main
from doorround.hearing.decision.engine_choice import ChosenEngines, choose_engines
from tests.read_once import usual_engines


@dataclass(frozen=True)
class Done:
    """Output and exit code, as from subprocess.run."""

    returncode: int
    stdout: str
    stderr: str


def build_commands_once() -> None:
    """Build the command tree once; otherwise each of about a thousand calls would take 0.1 s."""
    vars(typer.main)["get_command"] = cache(typer.main.get_command)
    vars(typer.testing)["_get_command"] = typer.main.get_command


def load_engines_once() -> None:
    """Share the default engines between all commands that would load them, 200 MB each time.
    `doorround chat` loads them only when there is something to recognise, not in the background.
    """
    vars(wiring)["choose_engines"] = _engines
    wiring.EngineLoader.load_in_background = lambda self: None  # type: ignore[method-assign]


def run_here(words: list[str], env: Mapping[str, str], typed: str = "") -> Done:
    """Run the command with these words; env: its complete environment. Exceptions other than
    SystemExit propagate.
    """
    streams = {
        "stdin": io.TextIOWrapper(io.BytesIO(typed.encode()), encoding="utf-8"),
        "stdout": io.TextIOWrapper(io.BytesIO(), encoding="utf-8"),
        "stderr": io.TextIOWrapper(io.BytesIO(), encoding="utf-8"),
    }
    with ExitStack() as stack:
        stack.enter_context(patch.dict(os.environ, env, clear=True))
        stack.enter_context(patch("sys.argv", ["doorround", *words]))
        # urllib keeps the proxies of the environment in which it was first used
        stack.enter_context(patch("urllib.request._opener", None))
        for name, stream in streams.items():
            stack.enter_context(patch(f"sys.{name}", stream))
        code = _code_of_main()
    out, err = (_text(streams[name]) for name in ("stdout", "stderr"))
    return Done(code, out, err)


def _engines(models: Path, wanted: str = "auto", **more: Any) -> ChosenEngines:
    calibration = more.get("calibration")
    own = calibration is not None and calibration.is_file()
    own = own or any(each.is_dir() for each in models.glob("*"))
    return choose_engines(models, wanted, **more) if own or wanted != "auto" else usual_engines()


def _code_of_main() -> int:
    try:
        main()
    except SystemExit as ended:
        return ended.code if isinstance(ended.code, int) else 1 if ended.code else 0
    return 0


def _text(stream: io.TextIOWrapper) -> str:
    stream.flush()
    return stream.buffer.getvalue().decode()  # type: ignore[attr-defined]
